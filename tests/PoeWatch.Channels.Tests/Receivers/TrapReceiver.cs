using System.Diagnostics;
using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>Net-SNMP's snmptrapd (Debian package snmptrapd) with one community and one user of v3.</summary>
internal sealed class TrapReceiver : IAsyncDisposable
{
    public const string User = "keeper";
    public const string AuthPassphrase = "lantern-auth-77";
    public const string PrivacyPassphrase = "lantern-priv-77";

    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-trapd-").FullName;
    private readonly Process _program;

    private TrapReceiver(int port)
    {
        File.WriteAllText(
            Path.Combine(_folder, "conf"),
            $"authCommunity log {Kinds.Community.Word}\ncreateUser {User} SHA-256 \"{AuthPassphrase}\" AES \"{PrivacyPassphrase}\"\nauthUser log {User} priv\n");
        var start = new ProcessStartInfo("/usr/sbin/snmptrapd") { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var argument in new[] { "-f", "-Lf", LogFile, "-n", "-C", "-c", Path.Combine(_folder, "conf"), "-On", "-m", "", "-F", "GOT %P | %v\\n", $"udp:127.0.0.1:{port}" })
        {
            start.ArgumentList.Add(argument);
        }

        start.Environment["SNMP_PERSISTENT_DIR"] = _folder;
        _program = Process.Start(start)!;
    }

    /// <summary>What came, a line each.</summary>
    public IReadOnlyList<string> Lines => !File.Exists(LogFile) ? [] : [.. ReadLog().Split('\n').Where(l => l.StartsWith("GOT ", StringComparison.Ordinal))];

    private string LogFile => Path.Combine(_folder, "log");

    public static TrapReceiver Start(int port) => new(port);

    /// <summary>A UDP port that nobody listens on.</summary>
    public static int FreePort()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }

    public async ValueTask DisposeAsync()
    {
        _program.Kill();
        await _program.WaitForExitAsync(CancellationToken.None);
        _program.Dispose();
        Directory.Delete(_folder, recursive: true);
    }

    private string ReadLog()
    {
        using var reader = new StreamReader(new FileStream(LogFile, FileMode.Open, FileAccess.Read, FileShare.ReadWrite));
        return reader.ReadToEnd();
    }
}
