using System.CommandLine;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch health</c>: exit code 0 where the service does its work; for containers and scripts.</summary>
internal static class HealthCommand
{
    public static Command Create()
    {
        var url = ServiceClient.UrlOption();
        var command = new Command("health", "Ask a running service how it is: exit code 0 where it does its work.") { url };
        command.SetAction(async (parsed, stop) =>
        {
            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), null);
            client.Timeout = TimeSpan.FromSeconds(5);
            try
            {
                using var request = new HttpRequestMessage(HttpMethod.Get, "/api/v1/health/ready");
                using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
                Console.WriteLine(await answer.Content.ReadAsStringAsync(stop));
                return answer.IsSuccessStatusCode ? ExitCodes.Good : ExitCodes.Failed;
            }
            catch (SettingsException away)
            {
                await Console.Error.WriteLineAsync(away.Message);
                return ExitCodes.Failed;
            }
        });
        return command;
    }
}
