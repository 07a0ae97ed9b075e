using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.DesignFiles.Reading;
using PoeWatch.DesignFiles.Text;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles;

/// <summary>A design read from text.</summary>
/// <param name="Result">Model or problems.</param>
/// <param name="JoinedText">The YAML text with the CSV files and the types that it names behind it: what the hash covers and history keeps.</param>
/// <param name="Hash">SHA-256 of the joined text in UTF-8, lower-case hex.</param>
public sealed record LoadedDesign(DesignResult Result, string JoinedText, string Hash);

/// <summary>Text of a named file, or null with the reason why there is none.</summary>
public readonly record struct FoundText(string? Text, string Reason);

/// <summary>Reads design files: one YAML file and the CSV lists that it names. Thread safe; keeps nothing.</summary>
public static class DesignFile
{
    /// <summary>Reads a design from disk. A file that cannot be read is a problem like any other.</summary>
    /// <param name="types">Where types are found that the design does not describe; null for the folder beside the program.</param>
    public static LoadedDesign Load(string path, DeviceTypeFolder? types = null)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(path)) ?? "";
        var found = ReadText(path);
        if (found.Text is not null)
        {
            return Parse(found.Text, path, name => ReadText(Path.Combine(folder, name)), types);
        }

        var problem = new DesignProblem(
            ProblemKind.Error, "unreadable-file", new WrittenAt(path, 1, 1), "", path, "The file cannot be read: " + found.Reason,
            "Give the path of a design file that this user may read.");
        return new LoadedDesign(new DesignResult(null, [problem]), "", HashOf(""));
    }

    /// <summary>Reads a design from text.</summary>
    /// <param name="name">What problems call the file.</param>
    /// <param name="find">Finds the CSV files that the design names.</param>
    /// <param name="types">Where types are found that the design does not describe; null for the folder beside the program.</param>
    public static LoadedDesign Parse(string text, string name, Func<string, FoundText> find, DeviceTypeFolder? types = null) =>
        Parse(text, name, find, types ?? new DeviceTypeFolder(), new Dictionary<string, string>(StringComparer.Ordinal));

    private static LoadedDesign Parse(
        string text, string name, Func<string, FoundText> find, DeviceTypeFolder types, IReadOnlyDictionary<string, string> carried)
    {
        var problems = new List<DesignProblem>();
        var joined = new StringBuilder(text);
        var tree = new YamlTreeReader(name, problems).Read(text);
        if (tree is null)
        {
            var hashOfText = HashOf(text);
            return new LoadedDesign(new DesignResult(null, [.. problems]), text, hashOfText);
        }

        var top = new MapReader(tree, "design", problems);
        var config = DesignReader.Read(top);
        var lists = new CsvLists(name, find, problems, joined);
        config = config with
        {
            Cables = config.Cables.AddRange(lists.Read(top.Text("cables-csv"), "cable", DesignReader.ReadCable)),
            Devices = config.Devices.AddRange(lists.Read(top.Text("devices-csv"), "device", DesignReader.ReadDevice)),
        };
        config = new TypeCatalogue(types, carried, problems, joined).Complete(config);
        var hash = HashOf(joined.ToString());
        return new LoadedDesign(DesignValidator.Validate(config, hash, problems), joined.ToString(), hash);
    }

    /// <summary>
    /// Reads a joined text: what <see cref="LoadedDesign.JoinedText"/> holds, so that a design with lists can be sent and kept as one text.
    /// It can name no file of this machine but types by their id, and those only where it does not carry them itself.
    /// </summary>
    public static LoadedDesign ParseJoined(string text, string name, DeviceTypeFolder? types = null)
    {
        var (main, lists) = JoinedText.Split(text);
        FoundText Find(string list) => lists.TryGetValue(list, out var found)
            ? new FoundText(found, "")
            : new FoundText(null, "the text that was sent does not hold this list.");
        return Parse(main, name, Find, types ?? new DeviceTypeFolder(), lists);
    }

    internal static FoundText ReadText(string path)
    {
        try
        {
            var file = new FileInfo(path);
            return file.Exists && file.Length > YamlTreeReader.LengthMax * 4L
                ? new FoundText(null, "it is larger than 32 MiB.")
                : new FoundText(File.ReadAllText(path), "");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            return new FoundText(null, e.Message);
        }
    }

    private static string HashOf(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    /// <summary>The CSV lists of one design.</summary>
    private sealed class CsvLists(string design, Func<string, FoundText> find, List<DesignProblem> problems, StringBuilder joined)
    {
        public ImmutableArray<T> Read<T>(Written<string>? file, string section, Func<MapReader, T> read)
        {
            if (file is null)
            {
                return [];
            }

            var found = find(file.Value);
            if (found.Text is null)
            {
                problems.Add(new DesignProblem(
                    ProblemKind.Error, "unreadable-file", file.At, "", file.Value, $"The file '{file.Value}' cannot be read: {found.Reason}",
                    "Write the path of a CSV file, relative to the design file."));
                return [];
            }

            JoinedText.Append(joined, file.Value, found.Text);
            var name = Path.Combine(Path.GetDirectoryName(design) ?? "", file.Value);
            var rows = new CsvTreeReader(name, DesignKeys.Sections[section], problems).Read(found.Text);
            return [.. rows.Select(row => read(new MapReader(row, section, problems)))];
        }
    }
}
