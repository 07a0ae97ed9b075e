namespace PoeWatch.DesignFiles;

/// <summary>
/// Where types are found that a design names without describing them: one file for each, called by its id (<c>fixed-camera.yaml</c>). Thread safe; keeps nothing.
/// </summary>
public sealed class DeviceTypeFolder
{
    /// <summary>What the folder is called beside the program, and in a joined text.</summary>
    public const string FolderName = "device-types";

    private const string Extension = ".yaml";

    private readonly string _path;

    /// <param name="path">Null for the folder beside the program. Where there is no such folder nothing is found.</param>
    public DeviceTypeFolder(string? path = null) => _path = path ?? Path.Combine(AppContext.BaseDirectory, FolderName);

    /// <summary>Ids of all types that it has, in order.</summary>
    public IEnumerable<string> Ids => Directory.Exists(_path)
        ? Directory.EnumerateFiles(_path, "*" + Extension).Select(Path.GetFileNameWithoutExtension).OfType<string>().Order(StringComparer.Ordinal)
        : [];

    /// <summary>Name of a type's file in a joined text; the same wherever the folder lies.</summary>
    internal static string JoinedName(string id) => $"{FolderName}/{id}{Extension}";

    internal string FileOf(string id) => Path.Combine(_path, id + Extension);

    /// <summary>Text of the file of a type. Null without a reason: there is none.</summary>
    /// <param name="id">Well formed: it cannot lead out of the folder.</param>
    internal FoundText Find(string id) => File.Exists(FileOf(id)) ? DesignFile.ReadText(FileOf(id)) : new FoundText(null, "");
}
