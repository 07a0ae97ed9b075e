using System.CommandLine;
using System.Globalization;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch export</c>: writes the draw history of a period as CSV, read from a running service.</summary>
internal static class ExportCommand
{
    public static Command Create()
    {
        var from = new Option<string>("--from") { Description = "Begin of the period, RFC 3339 with offset or Z.", Required = true };
        var to = new Option<string>("--to") { Description = "End of the period, not included.", Required = true };
        var pole = new Option<string?>("--pole") { Description = "Only this pole." };
        var port = new Option<string?>("--pse-port") { Description = "Only this PSE port, such as quay-west:1/7." };
        var output = new Option<string>("--out") { Description = "File to write; must not exist.", Required = true };
        var url = ServiceClient.UrlOption();
        var keyFile = ServiceClient.KeyFileOption();
        var command = new Command("export", "Write the draw history of a period as CSV (RFC 4180) with provenance and gaps.") { from, to, pole, port, output, url, keyFile };
        command.SetAction(async (parsed, stop) =>
        {
            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), parsed.GetValue(keyFile));
            using var request = new HttpRequestMessage(HttpMethod.Get, Query(
                Moment(parsed.GetRequiredValue(from), "--from"),
                Moment(parsed.GetRequiredValue(to), "--to"),
                parsed.GetValue(pole),
                parsed.GetValue(port)));
            using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
            if (!answer.IsSuccessStatusCode)
            {
                await Console.Error.WriteLineAsync($"The service refused ({(int)answer.StatusCode}): {await ServiceClient.RefusalAsync(answer, stop)}");
                return ExitCodes.BadInput;
            }

            return await WriteAsync(answer, parsed.GetRequiredValue(output), stop);
        });
        return command;
    }

    private static async Task<int> WriteAsync(HttpResponseMessage answer, string path, CancellationToken stop)
    {
        try
        {
            await using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write);
            await answer.Content.CopyToAsync(file, stop);
            await file.FlushAsync(stop);
            Console.WriteLine(FormattableString.Invariant($"{path}: {file.Length} bytes."));
            return ExitCodes.Good;
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or HttpRequestException)
        {
            // What was cut off must not pass as a whole export.
            await Console.Error.WriteLineAsync($"'{path}' is not whole: {failed.Message} Give another file, or export again.");
            return ExitCodes.NotUsable;
        }
    }

    private static string Query(DateTimeOffset from, DateTimeOffset to, string? pole, string? port)
    {
        var query = FormattableString.Invariant($"/api/v1/export.csv?from={Uri.EscapeDataString(from.ToString("O", CultureInfo.InvariantCulture))}&to={Uri.EscapeDataString(to.ToString("O", CultureInfo.InvariantCulture))}");
        query += pole is null ? string.Empty : $"&pole={Uri.EscapeDataString(pole)}";
        return query + (port is null ? string.Empty : $"&port={Uri.EscapeDataString(port)}");
    }

    // A time without an offset would be read as somebody's local time.
    private static readonly string[] MomentForms = ["yyyy-MM-ddTHH:mm:ss.FFFFFFFK", "yyyy-MM-ddTHH:mmK"];

    private static DateTimeOffset Moment(string text, string option) =>
        (text.EndsWith('Z') || text.LastIndexOfAny(['+', '-']) > text.IndexOf('T', StringComparison.Ordinal))
        && DateTimeOffset.TryParseExact(text, MomentForms, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTimeOffset moment)
            ? moment
            : throw new SettingsException($"{option}: '{text}' is no time with an offset. Write one such as 2026-11-24T00:00:00Z or 2026-11-24T00:00:00+01:00.");
}
