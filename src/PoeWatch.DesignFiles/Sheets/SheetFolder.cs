using System.Collections.Immutable;
using PoeWatch.DesignFiles.Reading;
using PoeWatch.DesignFiles.Text;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.DesignFiles.Sheets;

/// <summary>Sheets read from a folder: those that are sound, and every problem of the others.</summary>
public sealed record SheetReading(ImmutableArray<DrawSheet> Sheets, ImmutableArray<DesignProblem> Problems);

/// <summary>Reads the draw sheets (<c>*.yaml</c>) of a folder. Thread safe; keeps nothing.</summary>
public static class SheetFolder
{
    // A sheet has some forty lines; what is far larger is not one.
    private const long LengthMax = 256 * 1024;

    /// <param name="isOwn">True for the operator's folder, false for the one that is shipped.</param>
    public static SheetReading Load(string folder, bool isOwn)
    {
        string[] files;
        try
        {
            files = [.. Directory.GetFiles(folder, "*.yaml").Order(StringComparer.Ordinal)];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return new SheetReading([], [Unreadable(folder, "folder", e.Message, "Name a folder of draw sheets that this user may read.")]);
        }

        var problems = new List<DesignProblem>();
        var sheets = new List<DrawSheet>();
        foreach (var file in files)
        {
            try
            {
                DrawSheet? sheet = new FileInfo(file).Length > LengthMax
                    ? Refuse(problems, file, "it is larger than 256 KiB.")
                    : Parse(File.ReadAllText(file), file, isOwn, problems);
                Keep(sheets, sheet, file, problems);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                Refuse(problems, file, e.Message);
            }
        }

        return new SheetReading([.. sheets], [.. problems]);
    }

    /// <summary>Reads one sheet; null where it has an error, which is in the problems.</summary>
    public static DrawSheet? Parse(string text, string name, bool isOwn, ICollection<DesignProblem> found)
    {
        var problems = new List<DesignProblem>();
        TreeMap? tree = new YamlTreeReader(name, problems).Read(text);
        DrawSheetConfig? written = tree is null ? null : SheetReader.Read(new MapReader(tree, "draw-sheet", problems, SheetReader.Sections));
        DrawSheet? sheet = written is null ? null : DrawSheetBuilder.Build(written, isOwn, problems);
        problems.ForEach(found.Add);
        return problems.Exists(problem => problem.Kind == ProblemKind.Error) ? null : sheet;
    }

    private static void Keep(List<DrawSheet> sheets, DrawSheet? sheet, string file, List<DesignProblem> problems)
    {
        if (sheet is not null && sheets.Exists(other => other.Name == sheet.Name))
        {
            problems.Add(new DesignProblem(
                ProblemKind.Error, "second-sheet", new WrittenAt(file, 1, 1), sheet.Name, sheet.Name, $"Another file of the folder is named '{sheet.Name}' too.",
                "Give each sheet a name of its own, or remove one of the two."));
        }
        else if (sheet is not null)
        {
            sheets.Add(sheet);
        }
    }

    private static DrawSheet? Refuse(List<DesignProblem> problems, string file, string reason)
    {
        problems.Add(Unreadable(file, "file", reason, "Give the service's user the right to read it, or remove it from the folder."));
        return null;
    }

    private static DesignProblem Unreadable(string path, string what, string reason, string remedy) => new(
        ProblemKind.Error, $"unreadable-{what}", new WrittenAt(path, 1, 1), "", path, $"The {what} cannot be read: {reason}", remedy);
}
