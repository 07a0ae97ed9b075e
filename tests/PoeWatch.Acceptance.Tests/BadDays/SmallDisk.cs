using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.BadDays;

/// <summary>
/// A disk of 4 MB in memory that only the service sees (a mount namespace of its own: unshare(1), as a normal user with a user namespace
/// too). Linux; it is gone with the service.
/// </summary>
internal sealed class SmallDisk(WorkFolder folder) : IAsyncDisposable
{
    private const int DiskBytes = 4 * 1024 * 1024;

    private readonly string _mount = Directory.CreateDirectory(folder.At("disk")).FullName;
    private Service? _service;

    private string Filler => FormattableString.Invariant($"/proc/{_service!.ProcessId}/root{_mount}/filler");

    public async Task<Service> ServeAsync()
    {
        string[] user = Environment.IsPrivilegedProcess ? [] : ["--user", "--map-root-user"];
        string[] mounted = ["unshare", .. user, "--mount", "sh", "-c", FormattableString.Invariant($"mount -t tmpfs -o size={DiskBytes} tmpfs '{_mount}' && exec \"$@\""), "sh"];
        return _service = await Service.ServingAsync(
            ["serve", "--design", folder.At("design.yaml"), "--settings", folder.At("settings.json"), "--data", Path.Combine(_mount, "data"), "--port", "0"],
            inside: mounted);
    }

    /// <summary>Takes all the room that is left.</summary>
    public void Fill()
    {
        using var filler = new FileStream(Filler, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 0);
        var block = new byte[4096];
        try
        {
            for (var written = 0; written <= DiskBytes; written += block.Length)
            {
                filler.Write(block);
            }

            Assert.Fail("The disk took more than it can hold.");
        }
        catch (IOException)
        {
            // Full, as it should be.
        }
    }

    public void MakeRoom() => File.Delete(Filler);

    public ValueTask DisposeAsync() => _service?.DisposeAsync() ?? ValueTask.CompletedTask;
}
