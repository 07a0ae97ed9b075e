using System.Text;

namespace PoeWatch.Server.Commands;

/// <summary>A file that a command makes: it must not exist before, and does not remain where nothing came of it.</summary>
internal sealed class NewFile : IAsyncDisposable
{
    private static readonly UTF8Encoding s_utf8 = new(encoderShouldEmitUTF8Identifier: false);

    private readonly FileStream _stream;
    private bool _isWhole;

    private NewFile(FileStream stream) => _stream = stream;

    /// <summary>Makes the file before anybody is asked, so that nobody is asked in vain. Null, with the reason on standard error, where it cannot be made.</summary>
    public static async Task<NewFile?> CreateAsync(string path)
    {
        try
        {
            return new NewFile(new FileStream(path, FileMode.CreateNew, FileAccess.Write));
        }
        catch (Exception failed) when (failed is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            await Console.Error.WriteLineAsync($"--out: '{path}' cannot be made: {failed.Message} Give a file that does not exist, in a folder that this user may write.");
            return null;
        }
    }

    /// <summary>False, with the reason on standard error, where it could not be written whole; it is then taken away.</summary>
    public async Task<bool> TryWriteAsync(string text, CancellationToken cancellationToken)
    {
        try
        {
            await _stream.WriteAsync(s_utf8.GetBytes(text), cancellationToken);
            await _stream.FlushAsync(cancellationToken);
            return _isWhole = true;
        }
        catch (IOException failed)
        {
            await Console.Error.WriteLineAsync($"--out: '{_stream.Name}' cannot be written whole: {failed.Message} Make room, or give another file.");
            return false;
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _stream.DisposeAsync();
        if (!_isWhole)
        {
            File.Delete(_stream.Name);
        }
    }
}
