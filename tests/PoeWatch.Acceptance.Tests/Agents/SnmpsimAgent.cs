using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Agents;

/// <summary>
/// snmpsim (Debian package of that name) serving recordings: one file a community, which snmpsim reads again when its time changed.
/// Every recording has a port of its own, as if it were a switch of its own.
/// </summary>
internal sealed class SnmpsimAgent : IAsyncDisposable
{
    private readonly WorkFolder _folder;
    private readonly OutsideProgram _program;
    private readonly Dictionary<string, int> _ports;
    private int _changes;

    private SnmpsimAgent(WorkFolder folder, OutsideProgram program, Dictionary<string, int> ports) =>
        (_folder, _program, _ports) = (folder, program, ports);

    public string Output => _program.Output;

    /// <param name="recordings">By community.</param>
    public static Task<SnmpsimAgent> StartAsync(IReadOnlyDictionary<string, Recording> recordings) =>
        StartAsync(recordings.ToDictionary(r => r.Key, r => r.Value.AsSnmprec()));

    /// <param name="recordings">Texts by community.</param>
    public static async Task<SnmpsimAgent> StartAsync(IReadOnlyDictionary<string, string> recordings)
    {
        var program = OutsideProgram.Find("snmpsimd", "snmpsim");
        var folder = new WorkFolder();
        OutsideProgram? running = null;
        try
        {
            foreach (var (community, recording) in recordings)
            {
                folder.Write($"data/{community}.snmprec", recording);
            }

            OpenToOthers(Directory.CreateDirectory(folder.At("index")).FullName);
            var ports = recordings.Keys.ToDictionary(community => community, _ => FreePort.Udp());

            // snmpsim refuses to stay root.
            string[] user = Environment.IsPrivilegedProcess ? ["--process-user=nobody", "--process-group=nogroup"] : [];
            running = OutsideProgram.Start(
                program,
                [
                    .. user, $"--data-dir={folder.At("data")}", $"--cache-dir={folder.At("index")}", "--logging-method=stdout",
                    .. ports.Values.Select(port => FormattableString.Invariant($"--agent-udpv4-endpoint=127.0.0.1:{port}")),
                ],
                new Dictionary<string, string?> { ["PYTHONUNBUFFERED"] = "1" },
                folder.Path);
            await running.LineAsync(FormattableString.Invariant($"127.0.0.1:{ports.Values.Last()}"));
            return new SnmpsimAgent(folder, running, ports);
        }
        catch
        {
            await (running?.DisposeAsync() ?? ValueTask.CompletedTask);
            folder.Dispose();
            throw;
        }
    }

    /// <summary>UDP port on 127.0.0.1 for a recording.</summary>
    public int PortOf(string community) => _ports[community];

    /// <summary>Changes a recording under the running agent.</summary>
    public void Change(string community, Recording recording)
    {
        var path = _folder.Write($"data/{community}.snmprec", recording.AsSnmprec());

        // snmpsim compares whole seconds: two changes within one would pass for one.
        File.SetLastWriteTimeUtc(path, File.GetLastWriteTimeUtc(path).AddSeconds(10 * ++_changes));
    }

    public async ValueTask DisposeAsync()
    {
        await _program.DisposeAsync();
        _folder.Dispose();
    }

    private static void OpenToOthers(string folder)
    {
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(folder, (UnixFileMode)0x1FF);
        }
    }
}
