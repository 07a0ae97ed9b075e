using System.CommandLine;
using System.Globalization;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch export</c>: writes the evidence of a period as a zip, or its readings as CSV, read from a running service.</summary>
internal static class ExportCommand
{
    public static Command Create()
    {
        var from = new Option<string>("--from") { Description = "Begin of the period, RFC 3339 with offset or Z.", Required = true };
        var to = new Option<string>("--to") { Description = "End of the period, not included.", Required = true };
        var pole = new Option<string?>("--pole") { Description = "Only this pole." };
        var port = new Option<string?>("--pse-port") { Description = "Only this PSE port, such as quay-west:1/7." };
        var pse = new Option<string?>("--switch") { Description = "Only this switch or other element with an agent; evidence only." };
        var output = new Option<string>("--out") { Description = "File to write; must not exist. NAME.zip takes the whole evidence with proofs, any other name the readings as CSV.", Required = true };
        var url = ServiceClient.UrlOption();
        var keyFile = ServiceClient.KeyFileOption();
        var command = new Command("export", "Write the evidence of a period (NAME.zip: CSV, Parquet, designs, alarms, proofs, signed manifest) or its readings alone (CSV, RFC 4180).") { from, to, pole, pse, port, output, url, keyFile };
        command.SetAction(async (parsed, stop) =>
        {
            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), parsed.GetValue(keyFile));
            var isEvidence = parsed.GetRequiredValue(output).EndsWith(".zip", StringComparison.OrdinalIgnoreCase);
            if (!isEvidence && parsed.GetValue(pse) is not null)
            {
                throw new SettingsException("--switch goes with evidence only: let --out end in .zip, or leave --switch out.");
            }

            using var request = new HttpRequestMessage(HttpMethod.Get, Query(
                isEvidence ? "evidence.zip" : "export.csv",
                Moment(parsed.GetRequiredValue(from), "--from"),
                Moment(parsed.GetRequiredValue(to), "--to"),
                [("pole", parsed.GetValue(pole)), ("pse", parsed.GetValue(pse)), ("port", parsed.GetValue(port))]));
            using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
            if (!answer.IsSuccessStatusCode)
            {
                await Console.Error.WriteLineAsync($"The service refused ({(int)answer.StatusCode}): {await ServiceClient.RefusalAsync(answer, stop)}");
                return ExitCodes.BadInput;
            }

            return await AnswerFile.WriteAsync(answer, parsed.GetRequiredValue(output), stop);
        });
        return command;
    }

    private static string Query(string what, DateTimeOffset from, DateTimeOffset to, ReadOnlySpan<(string Name, string? Value)> scopes)
    {
        var query = FormattableString.Invariant($"/api/v1/{what}?from={Uri.EscapeDataString(from.ToString("O", CultureInfo.InvariantCulture))}&to={Uri.EscapeDataString(to.ToString("O", CultureInfo.InvariantCulture))}");
        foreach (var (name, value) in scopes)
        {
            query += value is null ? string.Empty : $"&{name}={Uri.EscapeDataString(value)}";
        }

        return query;
    }

    // A time without an offset would be read as somebody's local time.
    private static readonly string[] MomentForms = ["yyyy-MM-ddTHH:mm:ss.FFFFFFFK", "yyyy-MM-ddTHH:mmK"];

    private static DateTimeOffset Moment(string text, string option) =>
        (text.EndsWith('Z') || text.LastIndexOfAny(['+', '-']) > text.IndexOf('T', StringComparison.Ordinal))
        && DateTimeOffset.TryParseExact(text, MomentForms, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTimeOffset moment)
            ? moment
            : throw new SettingsException($"{option}: '{text}' is no time with an offset. Write one such as 2026-11-24T00:00:00Z or 2026-11-24T00:00:00+01:00.");
}
