namespace PoeWatch.DesignFiles.Tests;

/// <summary>CSV lists (RFC 4180) with the same checks as YAML, row and column named.</summary>
public sealed class CsvTests
{
    private const string Design = """
        format: poewatch-design/1
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 370}]}
        device-types:
          - {id: camera, class: 3, demand-w: 9}
        devices-csv: devices.csv
        cables-csv: cables.csv

        """;

    private const string Devices = "id,name,type\r\ncam-1,\"Camera, north\",camera\r\ncam-2,\"Two\r\nlines\",camera\r\n";
    private const string Cables = "from,to,length-m\r\nquay:1,cam-1,60\r\nquay:2,cam-2,70\r\n";

    [Fact]
    public void Quotes_commas_and_line_ends_in_fields_are_read_as_rfc_4180_says()
    {
        var model = Designs.Load(Design, ("devices.csv", Devices), ("cables.csv", Cables)).Result.Model;

        Assert.Equal("Camera, north", model!.Devices["cam-1"].Name);
        Assert.Equal("Two\r\nlines", model.Devices["cam-2"].Name);
    }

    [Theory]
    [InlineData("quay:2,cam-2,70", "quay:2,cam-2,170", "segment-too-long", 3, 3, "170")]
    [InlineData("quay:2,cam-2,70", "quay:2,cam-2,70m", "wrong-type", 3, 3, "70m")]
    [InlineData("quay:2,cam-2,70", "qay:2,cam-2,70", "unknown-element", 3, 1, "qay:2")]
    [InlineData("quay:2,cam-2,70", "quay:2,cam-2", "csv-field-count", 3, 3, "quay:2,cam-2")]
    [InlineData("quay:2,cam-2,70", "quay:1,cam-2,70", "output-used-twice", 3, 1, "quay:1")]
    [InlineData("quay:2,cam-2,70", "quay:2,\"cam\"-2,70", "csv-quote", 3, 2, "cam-")]
    [InlineData("quay:2,cam-2,70", "quay:2,\"cam-2,70", "csv-quote", 3, 2, "\"")]
    [InlineData("length-m", "lenght-m", "unknown-key", 1, 3, "lenght-m")]
    [InlineData("from,to,length-m", "from,to,to", "duplicate-key", 1, 3, "to")]
    public void A_fault_in_a_list_is_told_with_file_row_and_column(string find, string replacement, string code, int row, int column, string value)
    {
        var problems = Designs.Load(
            Design, ("devices.csv", Devices), ("cables.csv", Cables.Replace(find, replacement, StringComparison.Ordinal))).Result.Problems;

        Assert.True(
            problems.Any(p => p.Code == code && p.At == new Domain.Design.WrittenAt("cables.csv", row, column) && p.Value == value),
            string.Join('\n', problems));
    }

    [Fact]
    public void A_row_after_a_field_of_two_lines_keeps_its_line()
    {
        var devices = Devices + "cam-1,again,camera\r\n";

        var problem = Designs.Only(Design, ("devices.csv", devices), ("cables.csv", Cables));

        Assert.Equal(("duplicate-id", 5, 1), (problem.Code, problem.At.Line, problem.At.Column));
    }

    [Fact]
    public void A_list_that_is_not_there_is_told_where_the_design_names_it()
    {
        var problems = Designs.Load(Design, ("devices.csv", Devices)).Result.Problems;

        Assert.Contains(problems, p => p.Code == "unreadable-file" && p.At == new Domain.Design.WrittenAt("site.yaml", 7, 13) && p.Value == "cables.csv");
    }

    [Fact]
    public void The_hash_covers_the_lists()
    {
        var before = Designs.Load(Design, ("devices.csv", Devices), ("cables.csv", Cables));
        var after = Designs.Load(Design, ("devices.csv", Devices), ("cables.csv", Cables.Replace("70", "71", StringComparison.Ordinal)));

        Assert.NotEqual(before.Hash, after.Hash);
        Assert.Contains("quay:2,cam-2,70", before.JoinedText, StringComparison.Ordinal);
    }
}
