using System.CommandLine;
using System.Net;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch inspect ADDRESS</c>: asks one switch what it offers, so that a design can be written for it.</summary>
internal static class InspectCommand
{
    // IEEE Std 802.3.1 pethPsePortActualPower: milliwatts by group and port.
    private static readonly Oid IeeeDraw = Oid.Parse("1.3.111.2.802.3.1.8.1.1.1.15");

    public static Command Create()
    {
        var address = new Argument<string>("address") { Description = "IP address of the switch, with :PORT where it is not 161." };
        var credentials = new Option<string>("--credentials") { Description = "Name of the credentials in the settings.", Required = true };
        var settings = new Option<string?>("--settings") { Description = "Settings file (JSON)." };
        var command = new Command("inspect", "Ask one switch what it offers of PoE. It only reads.") { address, credentials, settings };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = SettingsLoader.Load(parsed.GetValue(settings));
            if (!TryEndpoint(parsed.GetRequiredValue(address), out IPEndPoint? endpoint))
            {
                throw new SettingsException($"'{parsed.GetRequiredValue(address)}' is no IP address. Write one such as 192.0.2.10 or [2001:db8::10]:1161.");
            }

            var store = new CredentialStore(loaded.Credentials, TimeProvider.System);
            SnmpCredentials secret = store.Find(parsed.GetRequiredValue(credentials), out var problem) ?? throw new SettingsException(problem);
            await using var client = new SnmpClient(TimeProvider.System);
            var target = new SnmpTarget(endpoint!, secret, loaded.Polling.Timeout, loaded.Polling.Retries);
            return await InspectAsync(client, target, Console.Out, stop);
        });
        return command;
    }

    private static bool TryEndpoint(string text, out IPEndPoint? endpoint)
    {
        if (!IPEndPoint.TryParse(text, out endpoint))
        {
            return false;
        }

        endpoint.Port = endpoint.Port == 0 ? SnmpTarget.DefaultPort : endpoint.Port;
        return true;
    }

    private static async Task<int> InspectAsync(SnmpClient client, SnmpTarget target, TextWriter to, CancellationToken stop)
    {
        SnmpResult system = await client.GetAsync(target, [PoeOids.SystemText, PoeOids.SystemId, PoeOids.SystemName, PoeOids.UpTime], stop);
        if (!system.IsAnswered)
        {
            SnmpOutcome why = system.Outcome == SnmpOutcome.Timeout ? (await client.DiagnoseSilenceAsync(target, stop)).Outcome : system.Outcome;
            await Console.Error.WriteLineAsync(why == SnmpOutcome.PrivacySuspected
                ? $"{target}: answers without privacy and is silent with it. Privacy passphrase or protocol is probably wrong."
                : system.Summary);
            return ExitCodes.Failed;
        }

        foreach (var (label, cell) in new[] { "description", "object id", "name", "up time" }.Zip(system.VarBinds))
        {
            await to.WriteLineAsync($"{label,-12} {Words(cell.Value)}");
        }

        var walker = new BulkWalker(client, TimeProvider.System);
        var request = new WalkRequest(
            [PoeOids.PortState, PoeOids.PortClass, IeeeDraw, PoeOids.GroupBudget, PoeOids.GroupDraw, PoeOids.InterfaceName]);
        using WalkResult walk = await walker.WalkAsync(target, request, new WalkState(), stop);
        await PrintGroupsAsync(walk, to);
        await PrintPortsAsync(walk, to);
        if (!walk.IsComplete)
        {
            await Console.Error.WriteLineAsync($"The agent answered only a part ({walk.Ending}). {walk.Failure?.Summary}");
        }

        return walk.IsComplete ? ExitCodes.Good : ExitCodes.Failed;
    }

    // Up time comes in hundredths of a second.
    private static string Words(SnmpValue value) => value.TryGetText(out var text) ? text
        : value.Type == SnmpType.TimeTicks && value.TryGetInt64(out var ticks) ? $"{TimeSpan.FromMilliseconds(ticks * 10.0):d\\ \\d\\a\\y\\s\\ hh\\:mm\\:ss}"
        : value.TryGetOid(out Oid oid) ? oid.ToString()
        : value.ToString();

    private static async Task PrintGroupsAsync(WalkResult walk, TextWriter to)
    {
        foreach (var group in PoeTableRows.Groups(walk.Columns[3], WalkColumn.Of(PoeOids.GroupStatus, []), walk.Columns[4]))
        {
            await to.WriteLineAsync($"group {group.Group}: budget {group.Budget?.ToString() ?? "not said"}, draw {group.DrawAtPse?.ToString() ?? "not said"}");
        }
    }

    private static async Task PrintPortsAsync(WalkResult walk, TextWriter to)
    {
        if (walk.Columns[0].Cells.IsEmpty)
        {
            await to.WriteLineAsync("No port of POWER-ETHERNET-MIB (RFC 3621). Not a PSE, or these credentials may not see 1.3.6.1.2.1.105.");
            return;
        }

        Dictionary<string, VarBind> classes = BySuffix(walk.Columns[1]);
        Dictionary<string, VarBind> draws = BySuffix(walk.Columns[2]);
        await to.WriteLineAsync(walk.Columns[2].Cells.IsEmpty
            ? $"{walk.Columns[0].Cells.Length} ports. No measured watts in the IEEE 802.3.1 column: without a draw column of the maker the class bound is all there is."
            : $"{walk.Columns[0].Cells.Length} ports. Measured watts in the IEEE 802.3.1 column {IeeeDraw} (milliwatt, group-and-port).");
        foreach (VarBind cell in walk.Columns[0].Cells)
        {
            var index = Suffix(walk.Columns[0].Column, cell.Oid);
            cell.Value.TryGetInt64(out var state);
            var assigned = classes.TryGetValue(index, out VarBind c) && c.Value.TryGetInt64(out var raw) ? DrawDecoder.AssignedClass(raw) : null;
            var draw = !draws.TryGetValue(index, out VarBind d) ? "-" : d.Value.TryGetInt64(out var milliwatts) ? $"{milliwatts} mW" : d.Value.ToString();
            PortState says = DrawDecoder.State(state);
            // RFC 3621: the class means something only while the port delivers.
            var ofClass = says == PortState.Delivering && assigned is { } granted ? $"class {(int)granted}" : "-";
            await to.WriteLineAsync($"port {index.Replace('.', '/'),-8} {says.ToString().ToLowerInvariant(),-12} {ofClass,-8} {draw}");
        }
    }

    private static Dictionary<string, VarBind> BySuffix(WalkColumn column) =>
        column.Cells.GroupBy(cell => Suffix(column.Column, cell.Oid)).ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);

    private static string Suffix(Oid column, Oid instance) => instance.ToString()[(column.ToString().Length + 1)..];
}
