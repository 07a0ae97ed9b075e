using System.CommandLine;
using System.Net.Http.Headers;
using PoeWatch.DesignFiles;

namespace PoeWatch.Server.Commands;

/// <summary><c>poewatch apply FILE</c>: checks a changed design here, then has a running service take it, whole or not at all.</summary>
internal static class ApplyCommand
{
    public static Command Create()
    {
        var file = new Argument<string>("file") { Description = "Design file (YAML)." };
        var types = DemandText.TypesOption();
        var url = ServiceClient.UrlOption();
        var keyFile = ServiceClient.KeyFileOption();
        var command = new Command("apply", "Have a running service take a changed design, whole or not at all, without a missed poll.") { file, types, url, keyFile };
        command.SetAction(async (parsed, stop) =>
        {
            var path = parsed.GetRequiredValue(file);
            LoadedDesign design = DesignFile.Load(path, new DeviceTypeFolder(parsed.GetValue(types)));
            Console.Write(DesignProblemText.Format(path, design.Result));
            if (design.Result.Model is null)
            {
                return ExitCodes.BadInput;
            }

            using HttpClient client = ServiceClient.Create(parsed.GetRequiredValue(url), parsed.GetValue(keyFile));
            using var request = new HttpRequestMessage(HttpMethod.Post, "/api/v1/design") { Content = new StringContent(design.JoinedText) };
            request.Content.Headers.ContentType = new MediaTypeHeaderValue("application/yaml");
            using HttpResponseMessage answer = await ServiceClient.SendAsync(client, request, stop);
            if (answer.IsSuccessStatusCode)
            {
                Console.WriteLine($"Design {design.Hash} is in force until the service's next start, which reads its own design file again: change that file too.");
                return ExitCodes.Good;
            }

            await Console.Error.WriteLineAsync($"The service refused the design and keeps the old one ({(int)answer.StatusCode}): {await ServiceClient.RefusalAsync(answer, stop)}");
            return ExitCodes.BadInput;
        });
        return command;
    }
}
