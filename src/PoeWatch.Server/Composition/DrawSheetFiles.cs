using PoeWatch.DesignFiles.Sheets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Composition;

/// <summary>Loads the draw sheets that stand beside the program and those of the operator.</summary>
internal static class DrawSheetFiles
{
    /// <summary>The folder that is shipped.</summary>
    public static string Shipped => Path.Combine(AppContext.BaseDirectory, "draw-sheets");

    /// <param name="own">The operator's folder, or null.</param>
    /// <exception cref="SettingsException">A sheet is not sound; the message has every problem with its place and remedy.</exception>
    public static SheetBook Load(string? own)
    {
        SheetReading[] folders = [SheetFolder.Load(Shipped, isOwn: false), .. own is null ? Array.Empty<SheetReading>() : [SheetFolder.Load(own, isOwn: true)]];
        DesignProblem[] problems = [.. folders.SelectMany(folder => folder.Problems)];
        return problems.Length == 0
            ? new SheetBook(folders.SelectMany(folder => folder.Sheets))
            : throw new SettingsException($"Draw sheets cannot be used:{string.Concat(problems.Select(problem => $"{Environment.NewLine}{problem}"))}");
    }
}
