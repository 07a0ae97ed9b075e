namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>A folder of one test, readable by every user (agents that run as root give root up), deleted at the end.</summary>
internal sealed class WorkFolder : IDisposable
{
    public WorkFolder()
    {
        Path = Directory.CreateTempSubdirectory("poewatch-acceptance-").FullName;
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(Path, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute
                | UnixFileMode.GroupRead | UnixFileMode.GroupExecute | UnixFileMode.OtherRead | UnixFileMode.OtherExecute);
        }
    }

    public string Path { get; }

    public string At(params string[] parts) => System.IO.Path.Combine([Path, .. parts]);

    /// <summary>Writes a file whole: whoever reads meanwhile sees the old text or the new one.</summary>
    public string Write(string name, string text)
    {
        var path = At(name);
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(path)!);
        File.WriteAllText(path + ".new", text);
        File.Move(path + ".new", path, overwrite: true);
        return path;
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
