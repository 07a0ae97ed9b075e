using System.Globalization;
using System.Text;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Agents;

/// <summary>A user of SNMPv3 in snmpd's own words (snmpd.conf(5)): createUser and rouser.</summary>
/// <param name="Auth">Such as <c>SHA</c> or <c>SHA-256</c>.</param>
/// <param name="Privacy">Such as <c>AES</c>; null for a user that cannot encrypt.</param>
/// <param name="LeastLevel">authpriv or authnopriv.</param>
internal sealed record SnmpdUser(string Name, string Auth, string AuthPassphrase, string? Privacy, string? PrivacyPassphrase, string LeastLevel);

/// <summary>
/// Net-SNMP's snmpd (Debian package snmpd) on loopback, answering the PoE tables from a file through pass_persist. The file may change
/// under the running agent. It listens on several ports, so that one agent can be asked in several ways at once.
/// </summary>
internal sealed class SnmpdAgent : IAsyncDisposable
{
    public const string Community = "harbour-read";

    private static readonly string[] Subtrees = [".1.3.6.1.2.1.105", ".1.3.6.1.2.1.31.1.1.1.1", ".1.3.111.2.802.3.1.8"];

    private readonly WorkFolder _folder;
    private OutsideProgram _program;

    private SnmpdAgent(WorkFolder folder, OutsideProgram program, int[] ports) => (_folder, _program, Ports) = (folder, program, ports);

    /// <summary>UDP ports on 127.0.0.1; behind each of them is the same agent.</summary>
    public int[] Ports { get; }

    public string Output => _program.Output;

    public static Task<SnmpdAgent> StartAsync(Recording recording, int portCount, params SnmpdUser[] users) => StartAsync(recording, portCount, "", users);

    /// <param name="lines">Further lines of snmpd.conf.</param>
    public static async Task<SnmpdAgent> StartAsync(Recording recording, int portCount, string lines, params SnmpdUser[] users)
    {
        var python = OutsideProgram.Find("python3", "python3");
        var folder = new WorkFolder();
        OutsideProgram? running = null;
        try
        {
            int[] ports = [.. Enumerable.Range(0, portCount).Select(_ => FreePort.Udp())];
            var values = folder.Write("values", recording.AsPassValues());
            folder.Write("snmpd.conf", Configuration(ports, users, $"{python} {PassProgram()} {values}") + lines);
            running = Start(folder);
            await running.LineAsync("NET-SNMP version");
            return new SnmpdAgent(folder, running, ports);
        }
        catch
        {
            await (running?.DisposeAsync() ?? ValueTask.CompletedTask);
            folder.Dispose();
            throw;
        }
    }

    /// <summary>Changes what the running agent answers.</summary>
    public void Change(Recording recording) => _folder.Write("values", recording.AsPassValues());

    /// <summary>Ends the agent in order and starts it again, as its maker's update would: the machine below it runs on.</summary>
    public async Task RestartAsync()
    {
        _program.Terminate();
        await _program.ExitAsync();
        await _program.DisposeAsync();
        _program = Start(_folder);
        await _program.LineAsync("NET-SNMP version");
    }

    /// <summary>Ends the agent at once; what asks it then meets a port where nobody listens.</summary>
    public void Kill() => _program.Kill();

    public async ValueTask DisposeAsync()
    {
        await _program.DisposeAsync();
        _folder.Dispose();
    }

    private static OutsideProgram Start(WorkFolder folder) => OutsideProgram.Start(
        OutsideProgram.Find("snmpd", "snmpd"),
        // -I -smux: that module wants a TCP port that is the same for every agent of the machine.
        ["-f", "-Lo", "-C", "-c", folder.At("snmpd.conf"), "-I", "-smux"],
        new Dictionary<string, string?>
        {
            ["MIBS"] = "", ["MIBDIRS"] = "", ["SNMPCONFPATH"] = folder.At("none"), ["SNMP_PERSISTENT_DIR"] = folder.At("state"),
        },
        folder.Path);

    private static string PassProgram() => Path.Combine(AppContext.BaseDirectory, "Agents", "pass_values.py");

    private static string Configuration(int[] ports, SnmpdUser[] users, string passCommand)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"agentaddress {string.Join(',', ports.Select(p => FormattableString.Invariant($"udp:127.0.0.1:{p}")))}\n");
        text.Append(CultureInfo.InvariantCulture, $"rocommunity {Community} 127.0.0.1\n");
        foreach (var user in users)
        {
            text.Append(CultureInfo.InvariantCulture, $"createUser {user.Name} {user.Auth} {user.AuthPassphrase} {user.Privacy} {user.PrivacyPassphrase}\n");
            text.Append(CultureInfo.InvariantCulture, $"rouser {user.Name} {user.LeastLevel}\n");
        }

        foreach (var subtree in Subtrees)
        {
            text.Append(CultureInfo.InvariantCulture, $"pass_persist {subtree} {passCommand}\n");
        }

        return text.ToString();
    }
}
