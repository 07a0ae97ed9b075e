using System.CommandLine;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch try-notices</c>: has a running service send a trial notice, the way that alarms go, and tells what became of it.</summary>
internal static class TryNoticesCommand
{
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(500);

    public static Command Create()
    {
        var role = new Option<string?>("--role") { Description = "Only to this role." };
        var channel = new Option<string?>("--channel") { Description = "Only by this channel." };
        var wait = new Option<int>("--wait") { Description = "Seconds to wait for what becomes of it, 1 to 600.", DefaultValueFactory = _ => 45 };
        wait.Validators.Add(written =>
        {
            if (written.Tokens.Count == 1 && int.TryParse(written.Tokens[0].Value, NumberStyles.None, CultureInfo.InvariantCulture, out var seconds) && seconds is < 1 or > 600)
            {
                written.AddError($"--wait: {seconds} is out of bounds. Write 1 to 600.");
            }
        });
        var url = ServiceClient.UrlOption();
        var keyFile = ServiceClient.KeyFileOption();
        var command = new Command("try-notices", "Have a running service send a trial notice by all ways, or those of a role or channel, and tell what became of it.") { role, channel, wait, url, keyFile };
        command.SetAction(async (parsed, stop) =>
        {
            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), parsed.GetValue(keyFile));
            using var request = new HttpRequestMessage(HttpMethod.Post, "/api/v1/notices/trial")
            {
                Content = new StringContent(
                    JsonSerializer.Serialize(new { role = parsed.GetValue(role), channel = parsed.GetValue(channel) }), Encoding.UTF8, "application/json"),
            };
            using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
            if (!answer.IsSuccessStatusCode)
            {
                await Console.Error.WriteLineAsync($"No trial notice was sent ({(int)answer.StatusCode}): {await ServiceClient.RefusalAsync(answer, stop)}");
                return ExitCodes.BadInput;
            }

            using JsonDocument posted = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(stop));
            HashSet<string> lanes = [.. posted.RootElement.GetProperty("lanes").EnumerateArray().Select(l => l.GetString()!)];
            return await FollowAsync(client, lanes, TimeSpan.FromSeconds(parsed.GetValue(wait)), stop);
        });
        return command;
    }

    private static async Task<int> FollowAsync(HttpClient client, HashSet<string> lanes, TimeSpan wait, CancellationToken stop)
    {
        long began = TimeProvider.System.GetTimestamp();
        var isGood = true;
        while (lanes.Count > 0)
        {
            var isLast = TimeProvider.System.GetElapsedTime(began) >= wait;
            foreach ((string lane, string state, string problem) in await TrialsAsync(client, stop))
            {
                // The newest trial of a lane comes first: it is ours.
                if (lanes.Contains(lane) && (state != "waiting" || isLast || problem.Length > 0))
                {
                    lanes.Remove(lane);
                    isGood &= state == "sent";
                    Console.WriteLine(state == "sent" ? $"{lane}: arrived." : $"{lane}: {state}. {problem}".TrimEnd());
                }
            }

            if (isLast)
            {
                break;
            }

            await Task.Delay(LookAgain, TimeProvider.System, stop);
        }

        foreach (var lane in lanes)
        {
            Console.WriteLine($"{lane}: nothing is known of it.");
        }

        return isGood && lanes.Count == 0 ? ExitCodes.Good : ExitCodes.Failed;
    }

    private static async Task<List<(string Lane, string State, string Problem)>> TrialsAsync(HttpClient client, CancellationToken stop)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, "/api/v1/notices?limit=500");
        using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
        using JsonDocument page = JsonDocument.Parse(await answer.EnsureSuccessStatusCode().Content.ReadAsStringAsync(stop));
        return
        [
            .. from notice in page.RootElement.GetProperty("items").EnumerateArray()
               where notice.GetProperty("kind").GetString() == "trial"
               let lane = $"{notice.GetProperty("role").GetString()}/{notice.GetProperty("channel").GetString()}"
               group notice by lane into trials
               let newest = trials.First()
               select (trials.Key, newest.GetProperty("state").GetString()!, newest.GetProperty("problem").GetString()!),
        ];
    }
}
