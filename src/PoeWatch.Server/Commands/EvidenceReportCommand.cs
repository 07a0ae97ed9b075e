using System.CommandLine;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch evidence-report</c>: the report of a month as a page to print, read from a running service.</summary>
internal static class EvidenceReportCommand
{
    public static Command Create()
    {
        var month = new Option<string>("--month") { Description = "Year and month in the zone of the site, such as 2026-11.", Required = true };
        var output = new Option<string>("--out") { Description = "File to write (HTML); must not exist.", Required = true };
        var url = ServiceClient.UrlOption();
        var keyFile = ServiceClient.KeyFileOption();
        var command = new Command("evidence-report", "Write the report of a month to print: energy, peaks against the design, completeness, alarms, designs, roots.") { month, output, url, keyFile };
        command.SetAction(async (parsed, stop) =>
        {
            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), parsed.GetValue(keyFile));
            using var request = new HttpRequestMessage(HttpMethod.Get, $"/api/v1/evidence/report.html?month={Uri.EscapeDataString(parsed.GetRequiredValue(month))}");
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
}
