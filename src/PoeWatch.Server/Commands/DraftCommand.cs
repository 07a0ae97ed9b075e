using System.Collections.Immutable;
using System.CommandLine;
using System.Net;
using PoeWatch.DesignFiles;
using PoeWatch.DesignFiles.Drafts;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Surveys;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch draft ADDRESS...</c>: writes the beginning of a design out of what switches answer, every guess marked.</summary>
internal static class DraftCommand
{
    private const int AtOnceMax = 128;

    public static Command Create()
    {
        var addresses = new Argument<string[]>("addresses") { Description = "IP addresses or names of switches, with :PORT where it is not 161.", Arity = ArgumentArity.ZeroOrMore };
        var from = new Option<string?>("--from") { Description = "File with one switch a line: address, then where wanted the name of credentials and an id." };
        var output = new Option<string>("--out") { Description = "Design file to write; must not exist.", Required = true };
        var credentials = new Option<string>("--credentials") { Description = "Name of the credentials in the settings.", DefaultValueFactory = _ => "default" };
        var settings = new Option<string?>("--settings") { Description = "Settings file (JSON)." };
        var atOnce = new Option<int>("--at-once") { Description = $"Switches that are asked at one time, 1 to {AtOnceMax}.", DefaultValueFactory = _ => 16 };
        var command = new Command("draft", "Draft a design out of what switches answer: ports, groups, classes, names, neighbours. It only reads. Exit code 1 where a switch is missing.")
        {
            addresses, from, output, credentials, settings, atOnce,
        };
        command.SetAction(async (parsed, stop) =>
        {
            ServerSettings loaded = SettingsLoader.Load(parsed.GetValue(settings));
            ImmutableArray<DraftEntry> entries = DraftList.Read(
                parsed.GetValue(addresses) ?? [], await LinesAsync(parsed.GetValue(from), stop), parsed.GetRequiredValue(credentials));
            var width = parsed.GetValue(atOnce);
            if (width is < 1 or > AtOnceMax)
            {
                throw new SettingsException(FormattableString.Invariant($"--at-once: {width} lies outside of 1 to {AtOnceMax}. Give a number between."));
            }

            var path = parsed.GetRequiredValue(output);
            ImmutableArray<SnmpCredentials> secrets = Secrets(entries, loaded);
            await using NewFile? file = await NewFile.CreateAsync(path);
            if (file is null)
            {
                return ExitCodes.NotUsable;
            }

            ImmutableArray<DraftSource> sources = await AskAsync(entries, secrets, loaded, width, stop);
            return await WriteAsync(file, path, DraftBuilder.Build(sources), sources, stop);
        });
        return command;
    }

    private static async Task<string[]> LinesAsync(string? path, CancellationToken stop)
    {
        try
        {
            return path is null ? [] : await File.ReadAllLinesAsync(path, stop);
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw new SettingsException($"--from: '{path}' cannot be read: {failed.Message} Give a text file with one address a line.");
        }
    }

    private static ImmutableArray<SnmpCredentials> Secrets(ImmutableArray<DraftEntry> entries, ServerSettings settings)
    {
        var store = new CredentialStore(settings.Credentials, TimeProvider.System);
        return [.. entries.Select(entry => store.Find(entry.Credentials, out var problem) ?? throw new SettingsException(problem))];
    }

    private static async Task<ImmutableArray<DraftSource>> AskAsync(
        ImmutableArray<DraftEntry> entries, ImmutableArray<SnmpCredentials> secrets, ServerSettings settings, int atOnce, CancellationToken stop)
    {
        await using var client = new SnmpClient(TimeProvider.System);
        var found = new IPEndPoint?[entries.Length];
        await Parallel.ForEachAsync(
            Enumerable.Range(0, entries.Length), new ParallelOptions { MaxDegreeOfParallelism = atOnce, CancellationToken = stop },
            async (i, token) => found[i] = await entries[i].Address.ResolveAsync(token));
        int[] known = [.. Enumerable.Range(0, entries.Length).Where(i => found[i] is not null)];
        SnmpTarget[] targets = [.. known.Select(i => new SnmpTarget(found[i]!, secrets[i], settings.Polling.Timeout, settings.Polling.Retries))];
        var survey = new AddressSurvey(client, DrawSheetFiles.Load(settings.DrawSheetFolder), TimeProvider.System);
        ImmutableArray<SurveyedAgent> asked = await survey.AskAsync(targets, atOnce, stop);
        var sources = new DraftSource[entries.Length];
        for (var i = 0; i < entries.Length; i++)
        {
            var at = Array.IndexOf(known, i);
            var trouble = at < 0 ? entries[i].Address.Unresolved
                : asked[at].Report?.Incomplete ?? AgentAddress.Words(targets[at], asked[at].Answer);
            sources[i] = Source(entries[i], at < 0 ? null : asked[at], trouble);
        }

        return [.. sources];
    }

    private static DraftSource Source(DraftEntry entry, SurveyedAgent? asked, string trouble) => new(
        entry.Address.Written, entry.Credentials, entry.Id, asked?.SystemName ?? string.Empty, asked?.ChassisIds ?? [],
        asked?.Report?.Reading, asked?.Report?.Neighbours ?? [], trouble);

    private static async Task<int> WriteAsync(NewFile file, string path, DesignDraft draft, ImmutableArray<DraftSource> sources, CancellationToken stop)
    {
        foreach (DraftedAbsence absence in draft.Absences)
        {
            await Console.Error.WriteLineAsync($"{absence.Address} {absence.Reason}");
        }

        foreach (DraftSource partial in sources.Where(source => source.Reading is not null && source.Trouble.Length > 0))
        {
            await Console.Error.WriteLineAsync($"{partial.Address}: {partial.Trouble}");
        }

        if (draft.Switches.IsEmpty)
        {
            await Console.Error.WriteLineAsync("No switch answered with a PSE port, so there is nothing to draft. Check addresses and credentials with 'poewatch inspect'.");
            return ExitCodes.Failed;
        }

        var text = DraftText.Write(draft, Heading(draft));
        if (!await file.TryWriteAsync(text, stop))
        {
            return ExitCodes.NotUsable;
        }

        Console.WriteLine(FormattableString.Invariant($"{path}: {draft.Switches.Length} of {sources.Length} addresses are switches, with {draft.Devices.Length} devices on {draft.Poles.Length} poles. Go through every 'fill in' and 'guess'."));
        DesignResult check = DesignFile.Parse(text, path, _ => new FoundText(null, "a draft has no lists.")).Result;
        if (check.Model is null)
        {
            await Console.Error.WriteAsync("The draft has errors that its answers contain; they have to be put right by hand:" + Environment.NewLine + DesignProblemText.Format(path, check));
        }

        return check.Model is null || sources.Any(source => source.Trouble.Length > 0) || !draft.Absences.IsEmpty ? ExitCodes.Failed : ExitCodes.Good;
    }

    private static IEnumerable<string> Heading(DesignDraft draft) =>
    [
        $"Drafted by poewatch {ProductVersion.Text} out of what the switches answered. It is a beginning: what was found is not what was meant.",
        "'guess' says what a line rests on, 'fill in' what no agent can tell. What no switch feeds, and what was off, is missing.",
        "Injectors, extenders and pass-through switches on the way cannot be seen: put them in where a run has them.",
        .. draft.Absences.IsEmpty ? Array.Empty<string>() : [FormattableString.Invariant($"Addresses that gave no switch: {draft.Absences.Length}. They stand as comments under 'switches'.")],
    ];
}
