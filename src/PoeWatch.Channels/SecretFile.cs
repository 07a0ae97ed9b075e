namespace PoeWatch.Channels;

/// <summary>A secret in a file of its own, read anew for each message, so that a changed one needs no restart. Never printed.</summary>
internal sealed class SecretFile(string path)
{
    public override string ToString() => "(secret)";

    /// <exception cref="IOException">It cannot be read; the message names the file only.</exception>
    public string Read()
    {
        try
        {
            // Editors end files with a line feed that is no part of the secret.
            return File.ReadAllText(path).TrimEnd('\r', '\n');
        }
        catch (UnauthorizedAccessException refused)
        {
            throw new IOException($"The secret file '{path}' may not be read. Correct its rights.", refused);
        }
        catch (IOException unreadable)
        {
            throw new IOException($"The secret file '{path}' cannot be read. Write it again.", unreadable);
        }
    }
}
