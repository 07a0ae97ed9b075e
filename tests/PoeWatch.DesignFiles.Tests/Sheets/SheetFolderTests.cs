using PoeWatch.DesignFiles.Sheets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.DesignFiles.Tests.Sheets;

public sealed class SheetFolderTests : IDisposable
{
    private const string Good = """
        format: poewatch-draw-sheet/1
        name: mast
        mib: MAST-MIB
        source: "data sheet of the mast switch, page 7"
        columns:
          - {holds: draw, oid: 1.3.6.1.4.1.32473.7.1.4, unit: milliwatt, index: group-and-port}
        """;

    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-sheets").FullName;

    [Fact]
    public void A_sound_sheet_has_no_problem()
    {
        Assert.Empty(Problems(Good));
    }

    // Each fault with its place, its value and its code.
    [Theory]
    [InlineData("format: poewatch-draw-sheet/1", "format: poewatch-draw-sheet/9", "unknown-format", 1)]
    [InlineData("name: mast\n", "", "missing", 1)]
    [InlineData("source: \"data sheet of the mast switch, page 7\"", "sources: x", "unknown-key", 4)]
    [InlineData("unit: milliwatt", "unit: milliwat", "unknown-word", 6)]
    [InlineData("unit: milliwatt", "unit: volt", "unit-of-other-quantity", 6)]
    [InlineData("1.3.6.1.4.1.32473.7.1.4", ".1.3.6", "malformed-oid", 6)]
    [InlineData("index: group-and-port", "index: group", "index-of-other-column", 6)]
    [InlineData("holds: draw", "holds: limit", "missing", 1)]
    [InlineData("holds: draw, oid: 1.3.6.1.4.1.32473.7.1.4, unit: milliwatt", "holds: class, oid: 1.3.6.1.4.1.32473.7.1.4, unit: milliwatt", "needless-unit", 6)]
    [InlineData("index: group-and-port}", "index: group-and-port}\n  - {holds: draw, oid: 1.3.6.1.4.1.32473.7.1.5, unit: watt}", "second-column", 7)]
    [InlineData("columns:", "exceptions: [{draw-is: allocated, source: x}]\ncolumns:", "missing", 5)]
    [InlineData("columns:", "community: public\ncolumns:", "secret-in-design", 5)]
    public void A_fault_is_named_with_its_line(string written, string instead, string code, int line)
    {
        DesignProblem problem = Assert.Single(Problems(Good.Replace(written, instead, StringComparison.Ordinal)), p => p.Code == code);

        Assert.Equal((line, true, true), (problem.At.Line, problem.Message.Length > 0, problem.Remedy.Length > 0));
    }

    [Fact]
    public void A_folder_is_read_whole_and_a_faulty_sheet_is_left_out_with_its_problem()
    {
        File.WriteAllText(Path.Combine(_folder, "a.yaml"), Good);
        File.WriteAllText(Path.Combine(_folder, "b.yaml"), Good.Replace("unit: milliwatt", "unit: horsepower", StringComparison.Ordinal));
        File.WriteAllText(Path.Combine(_folder, "c.yaml"), Good);
        File.WriteAllText(Path.Combine(_folder, "notes.txt"), "no sheet");

        SheetReading reading = SheetFolder.Load(_folder, isOwn: true);

        Assert.Equal(("mast", true), (Assert.Single(reading.Sheets).Name, reading.Sheets[0].IsOwn));
        Assert.Equal(["unknown-word", "second-sheet"], reading.Problems.Select(p => p.Code));
    }

    [Fact]
    public void A_folder_that_is_not_there_is_a_problem_and_no_exception()
    {
        Assert.Equal("unreadable-folder", Assert.Single(SheetFolder.Load(Path.Combine(_folder, "gone"), isOwn: true).Problems).Code);
    }

    [Fact]
    public void A_book_puts_own_sheets_first_and_in_the_place_of_shipped_ones_of_their_name()
    {
        DrawSheet shipped = Parse(Good)!;
        var book = new SheetBook([shipped with { Name = "alpha" }, shipped, shipped with { IsOwn = true, Mib = "OWN-MIB" }]);

        Assert.Equal(["OWN-MIB", "MAST-MIB"], book.Sheets.Select(s => s.Mib));
        Assert.Equal(["mast", "alpha"], book.For("1.3.6.1.4.1.32473.1").Select(s => s.Name));
    }

    [Fact]
    public void Sheets_that_name_the_agent_come_before_those_of_its_maker_and_others_are_not_tried()
    {
        DrawSheet of = Parse(Good)!;
        var book = new SheetBook([
            of with { Name = "any", Columns = [of.Columns[0] with { Oid = "1.3.6.1.4.1.9.1.1" }] }, of with { Name = "maker" },
            of with { Name = "model", ObjectIds = ["1.3.6.1.4.1.32473.1.48"] }, of with { Name = "other", ObjectIds = ["1.3.6.1.4.1.32473.1.4"] },
        ]);

        Assert.Equal(["model", "maker", "any"], book.For("1.3.6.1.4.1.32473.1.48.2").Select(s => s.Name));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static DrawSheet? Parse(string text) => SheetFolder.Parse(text, "mast.yaml", isOwn: false, []);

    private static List<DesignProblem> Problems(string text)
    {
        var problems = new List<DesignProblem>();
        SheetFolder.Parse(text, "mast.yaml", isOwn: false, problems);
        return problems;
    }
}
