namespace PoeWatch.Server.Commands;

/// <summary>Keeps an answer of the service in a new file.</summary>
internal static class AnswerFile
{
    public static async Task<int> WriteAsync(HttpResponseMessage answer, string path, CancellationToken stop)
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
}
