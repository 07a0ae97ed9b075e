using PoeWatch.DesignFiles.Sheets;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.DesignFiles.Tests.Sheets;

/// <summary>The sheets that are shipped. Column numbers of a few were read in the MIB modules themselves and are written here a second time.</summary>
public class ShippedSheetTests
{
    private static readonly SheetReading s_shipped = SheetFolder.Load(Path.Combine(Examples.ConfigFolder, "draw-sheets"), isOwn: false);

    [Fact]
    public void Every_shipped_sheet_is_sound_and_there_are_at_least_20()
    {
        Assert.Empty(s_shipped.Problems.Select(problem => problem.ToString()));
        Assert.InRange(s_shipped.Sheets.Length, 20, int.MaxValue);
    }

    [Fact]
    public void Every_sheet_has_its_file_name_and_a_source() => Assert.All(s_shipped.Sheets, sheet =>
    {
        Assert.True(File.Exists(Path.Combine(Examples.ConfigFolder, "draw-sheets", sheet.Name + ".yaml")), sheet.Name);
        Assert.NotEmpty(sheet.Source);
    });

    [Fact]
    public void No_two_sheets_claim_one_draw_column() => Assert.Equal(
        s_shipped.Sheets.Length, s_shipped.Sheets.Select(sheet => sheet.Column(SheetQuantity.Draw)!.Oid).Distinct().Count());

    // Read in the modules: CISCO-POWER-ETHERNET-EXT-MIB cpeExtPsePortPwrConsumption (milliwatts), HP-ICF-POE-MIB hpicfPoePethPsePortActualPower
    // (milliwatts), HUAWEI-POE-MIB hwPoePortConsumingPower (mw, by ifIndex), ZXR10-POE-MIB interfaceCurrentPower (text), CIE1000-POE-MIB (deciwatt,
    // by ifIndex), NMS-POE-MIB ifPethPortConsumptionPower (watts).
    [Theory]
    [InlineData("cisco-power-ethernet-ext", "1.3.6.1.4.1.9.9.402.1.2.1.9", "Milliwatt", "GroupAndPort", false)]
    [InlineData("hp-icf-poe", "1.3.6.1.4.1.11.2.14.11.1.9.1.1.1.8", "Milliwatt", "GroupAndPort", false)]
    [InlineData("huawei-poe", "1.3.6.1.4.1.2011.5.25.195.3.1.10", "Milliwatt", "IfIndex", false)]
    [InlineData("zxr10-poe", "1.3.6.1.4.1.3902.3.319.2.1.3", "Watt", "GroupAndPort", true)]
    [InlineData("cie1000-poe", "1.3.6.1.4.1.9.9.832.1.43.1.3.1.1.4", "Deciwatt", "IfIndex", false)]
    [InlineData("bdcom-nms-poe", "1.3.6.1.4.1.3320.2.236.1.1.5", "Watt", "IfIndex", false)]
    public void Columns_units_and_indexes_are_those_of_the_modules(string name, string oid, string unit, string index, bool isText)
    {
        SheetColumn draw = s_shipped.Sheets.Single(sheet => sheet.Name == name).Column(SheetQuantity.Draw)!;

        Assert.Equal((oid, unit, index, isText), (draw.Oid, draw.Unit.ToString(), draw.Index.ToString(), draw.IsText));
    }

    [Fact]
    public void Models_whose_column_is_an_allocation_are_exceptions()
    {
        DrawSheet sheet = s_shipped.Sheets.Single(s => s.Name == "cisco-power-ethernet-ext");

        Assert.Contains(sheet.Exceptions, e => e.Covers("1.3.6.1.4.1.9.1.516", "IOS Software, C3750 Software (C3750-IPBASEK9-M), Version 12.2"));
        Assert.DoesNotContain(sheet.Exceptions, e => e.Covers("1.3.6.1.4.1.9.1.1208", "IOS Software, C2960S Software, Version 12.2"));
    }
}
