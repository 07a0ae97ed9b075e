using PoeWatch.DesignFiles.Reading;
using YamlDotNet.RepresentationModel;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>
/// Goal: every key that the loader knows is really read, and a fault in its value is told at its line and column. Method: a valid design
/// with every key; each of its values in turn is replaced by a list in a list, which no key takes.
/// </summary>
public sealed class PlaceTests
{
    private static readonly string[] s_csvKeys = ["cables-csv", "devices-csv"];

    [Fact]
    public void The_design_that_the_faults_are_put_into_is_valid_and_has_every_key()
    {
        var loaded = Designs.Load(Faults.Whole);
        Assert.NotNull(loaded.Result.Model);
        Assert.Equal(["port-upgrade-awaited"], loaded.Result.Problems.Select(p => p.Code));

        var written = Maps(Root()).SelectMany(m => m.Children.Keys).Select(k => ((YamlScalarNode)k).Value!).ToHashSet();
        var known = DesignKeys.Sections.Where(s => s.Key != DesignKeys.TypeFile).SelectMany(s => s.Value).Except(s_csvKeys);
        Assert.Empty(known.Except(written));
    }

    [Fact]
    public void A_value_of_the_wrong_shape_is_told_at_its_line_and_column_whatever_its_key()
    {
        var lines = Faults.Whole.Split('\n');
        var tried = 0;
        foreach (var scalar in Scalars(Root()))
        {
            var (line, column) = ((int)scalar.Start.Line, (int)scalar.Start.Column);
            var changed = lines.ToArray();
            changed[line - 1] = lines[line - 1][..(column - 1)] + "[[]]" + lines[line - 1][((int)scalar.End.Column - 1)..];

            var problems = Designs.Check(string.Join('\n', changed));

            Assert.True(
                problems.Any(p => p.Code == "wrong-type" && p.At.Line == line && p.At.Column == column),
                $"{line}:{column} {lines[line - 1].Trim()}\n{string.Join('\n', problems)}");
            tried++;
        }

        Assert.True(tried > 130, $"{tried} values tried");
    }

    [Fact]
    public void An_empty_value_is_told_at_its_line_whatever_its_key()
    {
        foreach (var section in new[] { "name", "address", "to", "length-m", "off", "class" })
        {
            var at = Faults.Whole.IndexOf(section + ": ", StringComparison.Ordinal) + section.Length + 1;
            var end = Faults.Whole.IndexOfAny([',', '\n', '}'], at);
            var text = Faults.Whole[..at] + " " + Faults.Whole[end..];

            var line = Faults.Whole[..at].Count(c => c == '\n') + 1;
            Assert.Contains(Designs.Check(text), p => p.Code == "empty-value" && p.At.Line == line);
        }
    }

    private static YamlMappingNode Root()
    {
        var stream = new YamlStream();
        stream.Load(new StringReader(Faults.Whole));
        return (YamlMappingNode)stream.Documents[0].RootNode;
    }

    private static IEnumerable<YamlScalarNode> Scalars(YamlNode node) => node switch
    {
        YamlScalarNode scalar => [scalar],
        YamlMappingNode map => map.Children.Values.SelectMany(Scalars),
        YamlSequenceNode list => list.Children.SelectMany(Scalars),
        _ => [],
    };

    private static IEnumerable<YamlMappingNode> Maps(YamlNode node) => node switch
    {
        YamlMappingNode map => map.Children.Values.SelectMany(Maps).Prepend(map),
        YamlSequenceNode list => list.Children.SelectMany(Maps),
        _ => [],
    };
}
