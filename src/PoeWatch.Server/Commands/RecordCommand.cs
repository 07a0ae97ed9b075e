using System.CommandLine;
using System.Globalization;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Recordings;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch record AGENT</c>: keeps what one agent answers, so that a bug report or a test can replay it.</summary>
internal static class RecordCommand
{
    private const int SecondsMin = 10;
    private const int SecondsMax = 3600;

    private static readonly Argument<string> s_agent = new("agent") { Description = "IP address or name of the agent, with :PORT where it is not 161; with --design the id of a polled element." };
    private static readonly Option<string> s_output = new("--out") { Description = "File to write; must not exist.", Required = true };
    private static readonly Option<string?> s_credentials = new("--credentials") { Description = "Name of the credentials in the settings; without it those of the design's element, or default." };
    private static readonly Option<string?> s_design = new("--design") { Description = "Design file that names the agent." };
    private static readonly Option<string?> s_settings = new("--settings") { Description = "Settings file (JSON)." };
    private static readonly Option<string[]> s_also = new("--also") { Description = "Further subtree to record, such as 1.3.6.1.4.1.32473. May be given several times." };
    private static readonly Option<bool> s_scrub = new("--scrub") { Description = "Replace names, places, people, addresses and serial numbers by placeholders, the same always by the same." };
    private static readonly Option<int> s_within = new("--within-s") { Description = $"Most seconds that it may take, {SecondsMin} to {SecondsMax}.", DefaultValueFactory = _ => 300 };

    public static Command Create()
    {
        Option<string?> types = DemandText.TypesOption();
        var command = new Command("record", "Record what one agent answers, as a file that snmpsim replays. It only reads. Exit code 1 where the recording is not whole.")
        {
            s_agent, s_output, s_credentials, s_design, types, s_settings, s_also, s_scrub, s_within,
        };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings settings = SettingsLoader.Load(parsed.GetValue(s_settings));
            Oid[] also = [.. (parsed.GetValue(s_also) ?? []).Select(Subtree)];
            var seconds = parsed.GetValue(s_within);
            if (seconds is < SecondsMin or > SecondsMax)
            {
                throw new SettingsException(string.Create(CultureInfo.InvariantCulture, $"--within-s: {seconds} lies outside of {SecondsMin} to {SecondsMax} seconds. Give a number between."));
            }

            SnmpTarget target = await TargetAsync(parsed, settings, types, stop);
            SheetBook sheets = DrawSheetFiles.Load(settings.DrawSheetFolder);
            return await RecordAsync(parsed, target, sheets, also, TimeSpan.FromSeconds(seconds), stop);
        });
        return command;
    }

    private static async Task<int> RecordAsync(ParseResult parsed, SnmpTarget target, SheetBook sheets, Oid[] also, TimeSpan within, CancellationToken stop)
    {
        var path = parsed.GetRequiredValue(s_output);
        await using NewFile? file = await NewFile.CreateAsync(path);
        if (file is null)
        {
            return ExitCodes.NotUsable;
        }

        await using var client = new SnmpClient(TimeProvider.System);
        var (recording, answer) = await new AgentRecorder(client, sheets, TimeProvider.System).RecordAsync(target, also, within, stop);
        if (recording is null)
        {
            await Console.Error.WriteLineAsync(await AgentAddress.WhyAsync(client, target, answer, stop));
            return ExitCodes.Failed;
        }

        var isScrubbed = parsed.GetValue(s_scrub);
        recording = isScrubbed ? Scrubber.Scrub(recording, sheets) : Scrubber.HideMakersTexts(recording, sheets);
        if (!await file.TryWriteAsync(SnmprecText.Write(recording, Heading(recording, isScrubbed)), stop))
        {
            return ExitCodes.NotUsable;
        }

        foreach (MissingPart missing in recording.Missing)
        {
            await Console.Error.WriteLineAsync($"{missing.Oid}: {missing.Reason}");
        }

        Console.WriteLine(FormattableString.Invariant($"{path}: {recording.Cells.Length} values{(isScrubbed ? ", scrubbed. Read it before you hand it on: no program knows every name" : ", with the names, addresses and serial numbers that the agent tells (--scrub replaces them)")}."));
        return recording.Missing.Any(missing => missing.IsFailure) ? ExitCodes.Failed : ExitCodes.Good;
    }

    private static IEnumerable<string> Heading(AgentRecording recording, bool isScrubbed) =>
    [
        $"Answers of one SNMP agent, recorded by poewatch {ProductVersion.Text}, for snmpsim to replay: OID, tag, value.",
        FormattableString.Invariant($"{recording.Cells.Length} values. {(isScrubbed ? "Names, places, people, addresses and serial numbers are placeholders." : "As the agent sent them, but texts of makers' trees are placeholders.")}"),
    ];

    private static async Task<SnmpTarget> TargetAsync(ParseResult parsed, ServerSettings settings, Option<string?> types, CancellationToken stop)
    {
        var agent = parsed.GetRequiredValue(s_agent);
        var name = parsed.GetValue(s_credentials);
        AgentAddress address;
        if (parsed.GetValue(s_design) is { } path)
        {
            DesignResult design = DesignFile.Load(path, new DeviceTypeFolder(parsed.GetValue(types))).Result;
            if (design.Model is not { } model)
            {
                throw new SettingsException(DesignProblemText.Format(path, design).TrimEnd());
            }

            SnmpAgent named = model.Agents.TryGetValue(agent, out SnmpAgent? found) ? found
                : throw new SettingsException($"The design has no polled element '{agent}'. It has: {string.Join(", ", model.Agents.Keys.Order(StringComparer.Ordinal).Take(20))}{(model.Agents.Count > 20 ? " and more" : "")}.");
            (address, name) = (new AgentAddress(named.Address, named.UdpPort), name ?? named.Credentials);
        }
        else
        {
            address = AgentAddress.Parse(agent);
        }

        var store = new CredentialStore(settings.Credentials, TimeProvider.System);
        SnmpCredentials secret = store.Find(name ?? "default", out var problem) ?? throw new SettingsException(problem);
        return new SnmpTarget(await address.RequireAsync(stop), secret, settings.Polling.Timeout, settings.Polling.Retries);
    }

    private static Oid Subtree(string text) => !Oid.TryParse(text, out Oid subtree)
        ? throw new SettingsException($"--also: '{text}' is no object identifier. Write numbers with dots between, such as 1.3.6.1.4.1.32473.")
        : RecordingPlan.IsSecret(subtree)
            ? throw new SettingsException($"--also: '{text}' holds users, keys or communities, which are never recorded. Leave it out.")
            : subtree;
}
