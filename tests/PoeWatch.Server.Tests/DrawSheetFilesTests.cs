using PoeWatch.Domain.DrawSheets;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Tests;

public sealed class DrawSheetFilesTests : IDisposable
{
    private const string Own = """
        format: poewatch-draw-sheet/1
        name: hp-icf-poe
        mib: OWN-MIB
        source: "measured at the quay"
        columns:
          - {holds: draw, oid: 1.3.6.1.4.1.32473.7.1.4, unit: watt, index: port}
        """;

    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-sheets").FullName;

    [Fact]
    public void The_shipped_sheets_stand_beside_the_program()
    {
        Assert.InRange(DrawSheetFiles.Load(null).Sheets.Length, 20, int.MaxValue);
    }

    [Fact]
    public void An_own_sheet_takes_the_place_of_the_shipped_one_of_its_name()
    {
        File.WriteAllText(Path.Combine(_folder, "mine.yaml"), Own);

        DrawSheet sheet = Assert.Single(DrawSheetFiles.Load(_folder).Sheets, s => s.Name == "hp-icf-poe");

        Assert.Equal(("OWN-MIB", true), (sheet.Mib, sheet.IsOwn));
    }

    [Fact]
    public void Every_fault_of_every_own_sheet_is_told_with_its_place_and_the_start_is_refused()
    {
        File.WriteAllText(Path.Combine(_folder, "a.yaml"), Own.Replace("unit: watt", "unit: horsepower", StringComparison.Ordinal));
        File.WriteAllText(Path.Combine(_folder, "b.yaml"), Own.Replace("index: port", "index: slot", StringComparison.Ordinal));

        var refused = Assert.Throws<SettingsException>(() => DrawSheetFiles.Load(_folder));

        Assert.Contains("a.yaml:6:", refused.Message, StringComparison.Ordinal);
        Assert.Contains("'horsepower'", refused.Message, StringComparison.Ordinal);
        Assert.Contains("b.yaml:6:", refused.Message, StringComparison.Ordinal);
        Assert.Contains("Write one of group-and-port", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_is_not_there_refuses_the_start()
    {
        Assert.Contains("Name a folder of draw sheets", Assert.Throws<SettingsException>(() => DrawSheetFiles.Load(Path.Combine(_folder, "gone"))).Message, StringComparison.Ordinal);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
