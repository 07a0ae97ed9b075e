using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>YAML as it comes: broken, hostile, or full of the traps of its older version.</summary>
public sealed class YamlTests
{
    private const string Small = """
        format: poewatch-design/1
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 370}]}
        device-types:
          - {id: camera, class: 3, demand-w: 9}
        devices:
          - {id: cam-1, type: camera}
        cables:
          - {from: quay:7, to: cam-1, length-m: 60}

        """;

    [Fact]
    public void A_syntax_error_is_a_problem_with_line_and_column()
    {
        var problem = Designs.Only(Small + "site: {name: [}\n");

        Assert.Equal(("yaml-syntax", 10, "site.yaml"), (problem.Code, problem.At.Line, problem.At.File));
        Assert.True(problem.At.Column > 1);
    }

    [Theory]
    [InlineData("", "empty-file")]
    [InlineData("# nothing but a comment\n", "empty-file")]
    [InlineData("- a\n- b\n", "wrong-type")]
    [InlineData("just words\n", "wrong-type")]
    public void A_file_without_keys_is_refused(string text, string code) => Assert.Equal(code, Designs.Only(text).Code);

    [Fact]
    public void A_key_written_twice_is_told_at_the_second_place()
    {
        var problem = Designs.Only(Small + "devices: []\n");

        Assert.Equal(("duplicate-key", 10, 1, "devices"), (problem.Code, problem.At.Line, problem.At.Column, problem.Value));
        Assert.Contains("site.yaml:6:1", problem.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("- {id: cam-1, type: camera}", "- {id: cam-1, type: camera # the one at the gate", 7, 5)]
    [InlineData("- {id: cam-1, type: camera}", "- {id: cam-1, type: camera, name: 'a ''{'' b'", 7, 5)]
    [InlineData("groups: [{budget-w: 370}]}", "groups: [{budget-w: 370}", 3, 45)]
    [InlineData("groups: [{budget-w: 370}]}", "groups: [\n    {budget-w: 370}\n", 3, 45)]
    [InlineData("length-m: 60}", "length-m: 60", 9, 5)]
    public void A_bracket_left_open_is_told_where_it_opens_and_no_other_line_is_lost(string find, string replacement, int line, int column)
    {
        var text = Small.Replace(find, replacement, StringComparison.Ordinal).Replace("class: 3", "class: 9", StringComparison.Ordinal);

        var problems = Designs.Check(text);

        Assert.Equal(["out-of-range", "yaml-syntax"], problems.Select(p => p.Code).Order(StringComparer.Ordinal));
        var open = problems.Single(p => p.Code == "yaml-syntax");
        Assert.Equal((line, column), (open.At.Line, open.At.Column));
    }

    [Theory]
    [InlineData("format: poewatch-design/1", "format: poewatch-design/1\nsite: {name: 'Quay}", 2)]
    [InlineData("  - {id: cam-1, type: camera}", "  - {id: cam-1, type: camera}\n - {id: cam-2, type: camera}", 8)]
    [InlineData("  - {id: cam-1, type: camera}", "  - {id: cam-1, type: camera}\n  - {id: cam-2, type: camera", 8)]
    [InlineData("  - {id: cam-1, type: camera}", "  - {id: cam-1, type: camera}\n  - {id: cam-2, type: [camera}", 8)]
    [InlineData("device-types:", "device-types:\n  - id: x: y", 5)]
    public void A_syntax_error_is_told_at_its_line_or_the_next_and_the_rest_is_checked_without_it(string find, string replacement, int line)
    {
        var text = Small.Replace(find, replacement, StringComparison.Ordinal).Replace("class: 3", "class: 9", StringComparison.Ordinal);

        var problems = Designs.Check(text);

        Assert.True(problems.Any(p => p.Code == "yaml-syntax" && p.At.Line >= line && p.At.Line <= line + 1), string.Join('\n', problems));
        Assert.Contains(problems, p => p is { Code: "out-of-range", Value: "9" });
    }

    [Fact]
    public void A_tab_is_told_where_it_stands()
    {
        var problem = Designs.Only(Small.Replace("  - {id: cam-1", " \t- {id: cam-1", StringComparison.Ordinal));

        Assert.Equal(("yaml-tab", 7, 2), (problem.Code, problem.At.Line, problem.At.Column));
    }

    [Fact]
    public void Whatever_is_broken_becomes_problems_and_never_an_exception()
    {
        const int Seed = 20261124;
        const string Breaking = "[]{}:,'\"#&*!|>%@`-? \t\0";
        TestContext.Current.TestOutputHelper!.WriteLine($"seed {Seed}");
        var random = new Random(Seed);
        var lines = Faults.Whole.Split('\n');
        var refused = 0;
        for (var i = 0; i < 300; i++)
        {
            var changed = lines.ToArray();
            for (var faults = random.Next(1, 4); faults > 0; faults--)
            {
                var line = random.Next(changed.Length);
                var at = random.Next(changed[line].Length + 1);
                changed[line] = random.Next(3) switch
                {
                    0 => changed[line][..at],
                    1 => changed[line][..at] + Breaking[random.Next(Breaking.Length)] + changed[line][at..],
                    _ => changed[random.Next(changed.Length)],
                };
            }

            var result = Designs.Load(string.Join('\n', changed)).Result;
            Assert.True(result.Model is null == result.Errors.Any());
            Assert.All(result.Problems, p => Assert.InRange(p.At.Line, 1, changed.Length + 1));
            refused += result.Model is null ? 1 : 0;
        }

        Assert.True(refused > 150, $"{refused} refused");
    }

    [Fact]
    public void Aliases_that_would_multiply_are_refused_and_cost_nothing()
    {
        // Nine levels of nine aliases each would be 387,420,489 values.
        var bomb = "format: poewatch-design/1\na0: &a0 [x,x,x,x,x,x,x,x,x]\n" + string.Concat(
            Enumerable.Range(1, 8).Select(i => $"a{i}: &a{i} [{string.Join(',', Enumerable.Repeat($"*a{i - 1}", 9))}]\n"));

        var problems = Designs.Check(bomb);

        Assert.Equal(8 * 9 + 9, problems.Count(p => p.Code == "yaml-alias"));
        Assert.Contains(problems, p => p.Code == "yaml-alias" && p.At.Line == 3);
    }

    [Fact]
    public void Nesting_beyond_any_design_is_refused()
    {
        var problem = Designs.Only(Small + "site: " + new string('[', 5000) + "\n");

        Assert.Equal(("yaml-syntax", 10), (problem.Code, problem.At.Line));
    }

    [Fact]
    public void A_file_of_more_than_eight_mebibytes_is_refused() =>
        Assert.Equal("file-too-large", Designs.Only(new string('#', 8 * 1024 * 1024 + 1)).Code);

    [Fact]
    public void Tags_and_second_documents_are_refused()
    {
        Assert.Contains(Designs.Check("format: !!str poewatch-design/1\n"), p => p is { Code: "yaml-tag", At.Line: 1 });
        Assert.Contains(Designs.Check(Small + "---\nformat: poewatch-design/1\n"), p => p is { Code: "second-document", At.Line: 10 });
    }

    [Theory]
    [InlineData("no")]
    [InlineData("on")]
    [InlineData("yes")]
    [InlineData("null")]
    [InlineData("017")]
    [InlineData("0x1f")]
    [InlineData("1e3")]
    [InlineData("12.50")]
    public void Names_stay_as_they_are_written_whatever_an_older_yaml_makes_of_them(string name)
    {
        var model = Designs.Load(Small + $"site: {{name: {name}}}\n").Result.Model;

        Assert.Equal(name, model!.Site.Name);
    }

    [Fact]
    public void Times_are_not_read_as_numbers_to_the_base_of_sixty()
    {
        var model = Designs.Load(Small + "load-cases:\n  - {id: evening, hours: 18:00-23:30}\n").Result.Model;

        Assert.Equal(new DailyWindow(new TimeOnly(18, 0), new TimeOnly(23, 30)), model!.LoadCases[0].Window);
    }

    [Theory]
    [InlineData("0x3c")]
    [InlineData("1_0")]
    [InlineData("60,5")]
    [InlineData("60m")]
    [InlineData(".nan")]
    [InlineData("NaN")]
    [InlineData("Infinity")]
    [InlineData("1:00")]
    public void A_number_that_is_none_is_told_with_what_was_written(string length)
    {
        var quoted = length.Contains(',', StringComparison.Ordinal) ? $"'{length}'" : length;
        var problem = Designs.Only(Small.Replace("length-m: 60", "length-m: " + quoted, StringComparison.Ordinal));

        Assert.Equal(("wrong-type", 9, 41, length), (problem.Code, problem.At.Line, problem.At.Column, problem.Value));
    }

    [Fact]
    public void Windows_line_ends_and_a_byte_order_mark_are_taken()
    {
        var loaded = Designs.Load("\uFEFF" + Small.ReplaceLineEndings("\r\n"));

        Assert.True(loaded.Result.Model is not null, DesignProblemText.Format("site.yaml", loaded.Result));
    }

    [Fact]
    public void The_hash_names_the_text()
    {
        // SHA-256 of the empty text: FIPS 180-4, as any tool prints it.
        Assert.Equal("e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", Designs.Load("").Hash);
        Assert.Equal(Designs.Load(Small).Hash, Designs.Load(Small).Result.Model!.Hash);
        Assert.NotEqual(Designs.Load(Small).Hash, Designs.Load(Small + "# a word\n").Hash);
    }

    [Fact]
    public void A_missing_file_is_a_problem_and_not_an_exception()
    {
        var loaded = DesignFile.Load(Path.Combine(Examples.ConfigFolder, "no-such-design.yaml"));

        Assert.Null(loaded.Result.Model);
        Assert.Equal("unreadable-file", Assert.Single(loaded.Result.Problems).Code);
    }
}
