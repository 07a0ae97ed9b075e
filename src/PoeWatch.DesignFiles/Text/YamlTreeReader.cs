using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace PoeWatch.DesignFiles.Text;

/// <summary>
/// Reads YAML as a tree of text with places. Takes what a design needs and nothing that could surprise: one document, no anchors, aliases
/// or tags, bounded size, depth and number of values.
/// </summary>
internal sealed class YamlTreeReader(string file, List<DesignProblem> problems)
{
    /// <summary>Longest text taken, in characters.</summary>
    public const int LengthMax = 8 * 1024 * 1024;

    /// <summary>Deepest nesting taken; a design needs 6.</summary>
    public const int DepthMax = 16;

    /// <summary>Most events (values, starts and ends) taken.</summary>
    public const int EventsMax = 2_000_000;

    /// <summary>Most lines with a syntax error that are left out to check the rest.</summary>
    public const int SyntaxErrorsMax = 20;

    private int _events;

    /// <summary>The document's map; null where there is none to read, which is reported.</summary>
    public TreeMap? Read(string text)
    {
        if (text.Length > LengthMax)
        {
            Report("file-too-large", new WrittenAt(file, 1, 1), "", "The file is larger than 8 MiB.", "Move 'cables' and 'devices' to CSV files, or split the site.");
            return null;
        }

        var lines = text.TrimStart('\uFEFF').Split('\n');
        ReplaceTabs(lines);
        for (var attempt = 0; attempt < SyntaxErrorsMax; attempt++)
        {
            var reported = problems.Count;
            try
            {
                return ReadDocument(new Parser(new StringReader(string.Join('\n', lines))));
            }
            catch (YamlException e)
            {
                // What was found before the error is found again when the rest is read without the line.
                problems.RemoveRange(reported, problems.Count - reported);
                if (!TryMend(lines, e))
                {
                    return null;
                }
            }
        }

        return null;
    }

    // The parser tells a tab at the start of the file; here it is told where it stands.
    private void ReplaceTabs(string[] lines)
    {
        for (var i = 0; i < lines.Length; i++)
        {
            var indent = lines[i].Length - lines[i].TrimStart(' ', '\t').Length;
            var tab = lines[i].IndexOf('\t', 0, indent);
            if (tab >= 0 && indent < lines[i].TrimEnd().Length)
            {
                Report("yaml-tab", new WrittenAt(file, i + 1, tab + 1), "", "A tab stands in the indentation, which YAML does not allow.", "Indent with spaces.");
            }

            lines[i] = tab >= 0 ? lines[i][..indent].Replace("\t", "  ", StringComparison.Ordinal) + lines[i][indent..] : lines[i];
        }
    }

    // Reports the error and mends or leaves out its line, so that the rest is checked too; false where nothing is left to try.
    private bool TryMend(string[] lines, YamlException e)
    {
        if (OpenBracket.Find(lines) is { } open)
        {
            Report(
                "yaml-syntax", new WrittenAt(file, open.Line, open.Column), lines[open.Line - 1].Trim(),
                "This is not YAML: the bracket or brace that opens here is not closed.", "Close it. The rest is checked as if it were closed before the next item.");
            lines[open.LastLine - 1] = open.Closed;
            return true;
        }

        var at = Place(e.Start);
        Report(
            "yaml-syntax", at, lines[Math.Min(at.Line, lines.Length) - 1].Trim(), "This is not YAML: " + e.Message.TrimEnd('.', '?') + ".",
            "Look at indentation, colons, brackets and quotes at this place and just before it. The line is left out of the further check.");
        if (at.Line > lines.Length || string.IsNullOrWhiteSpace(lines[at.Line - 1]))
        {
            return false;
        }

        lines[at.Line - 1] = "";
        return true;
    }

    private TreeMap? ReadDocument(IParser parser)
    {
        Next<StreamStart>(parser);
        if (parser.Current is StreamEnd)
        {
            Report("empty-file", new WrittenAt(file, 1, 1), "", "The file is empty.", "Write 'format: poewatch-design/1' as the first line.");
            return null;
        }

        Next<DocumentStart>(parser);
        var root = ReadValue(parser, depth: 1);
        Next<DocumentEnd>(parser);
        if (parser.Current is DocumentStart second)
        {
            Report("second-document", Place(second.Start), "---", "The file holds a second YAML document.", "Keep one document in a file: remove the '---' line.");
        }

        if (root is TreeMap map)
        {
            return map;
        }

        if (root is not null)
        {
            Report("wrong-type", root.At, "", $"The file holds {root.Noun} at its top.", "Write keys at the top, 'format: poewatch-design/1' as the first.");
        }

        return null;
    }

    private TreeValue? ReadValue(IParser parser, int depth)
    {
        if (depth > DepthMax)
        {
            throw new YamlException(parser.Current!.Start, parser.Current.End, $"nested deeper than {DepthMax} levels");
        }

        RefuseAnchorAndTag(parser.Current!);
        switch (parser.Current)
        {
            case Scalar scalar:
                Step(parser);
                return new TreeScalar(scalar.Value, Place(scalar.Start));
            case SequenceStart start:
                return ReadList(parser, start, depth);
            case MappingStart start:
                return ReadMap(parser, start, depth);
            default:
                Step(parser);
                return null;
        }
    }

    private TreeList ReadList(IParser parser, SequenceStart start, int depth)
    {
        Step(parser);
        var items = ImmutableArray.CreateBuilder<TreeValue>();
        while (parser.Current is not SequenceEnd)
        {
            if (ReadValue(parser, depth + 1) is { } item)
            {
                items.Add(item);
            }
        }

        Step(parser);
        return new TreeList(items.ToImmutable(), Place(start.Start));
    }

    private TreeMap ReadMap(IParser parser, MappingStart start, int depth)
    {
        Step(parser);
        var entries = ImmutableArray.CreateBuilder<TreeEntry>();
        var places = new Dictionary<string, WrittenAt>(StringComparer.Ordinal);
        while (parser.Current is not MappingEnd)
        {
            var key = ReadValue(parser, depth + 1);
            var value = ReadValue(parser, depth + 1);
            if (key is not TreeScalar name)
            {
                Report("wrong-type", key?.At ?? Place(start.Start), "", "A key must be a single word.", "Write 'key: value'.");
            }
            else if (!places.TryAdd(name.Text, name.At))
            {
                Report(
                    "duplicate-key", name.At, name.Text, $"The key '{name.Text}' is written twice here, first at {places[name.Text]}.",
                    "Keep one of the two; join lists under one key.");
            }
            else if (value is not null)
            {
                entries.Add(new TreeEntry(name.Written, value));
            }
        }

        Step(parser);
        return new TreeMap(entries.ToImmutable(), entries.Count > 0 ? entries[0].Key.At : Place(start.Start));
    }

    private void RefuseAnchorAndTag(ParsingEvent current)
    {
        switch (current)
        {
            case AnchorAlias alias:
                Report("yaml-alias", Place(alias.Start), "*" + alias.Value, "Aliases are not taken.", "Write the value out where it is meant.");
                break;
            case NodeEvent { Anchor.IsEmpty: false } anchored:
                Report("yaml-alias", Place(anchored.Start), "&" + anchored.Anchor, "Anchors are not taken.", "Remove the anchor and write the value out where it is meant.");
                break;
            case NodeEvent { Tag.IsEmpty: false } tagged when tagged.Tag != "!":
                Report("yaml-tag", Place(tagged.Start), tagged.Tag.ToString(), "Tags are not taken.", "Remove the tag: the key decides how its value is read.");
                break;
            default:
                break;
        }
    }

    private void Next<T>(IParser parser)
        where T : ParsingEvent
    {
        if (parser.Current is null)
        {
            Step(parser);
        }

        if (parser.Current is not T)
        {
            throw new YamlException(parser.Current?.Start ?? Mark.Empty, parser.Current?.End ?? Mark.Empty, "the document does not end where it should");
        }

        Step(parser);
    }

    private void Step(IParser parser)
    {
        if (++_events > EventsMax)
        {
            throw new YamlException(parser.Current!.Start, parser.Current.End, $"more than {EventsMax} values");
        }

        try
        {
            parser.MoveNext();
        }
        catch (Exception e) when (e is not YamlException)
        {
            // The parser answers some malformed texts (a bracket that is never closed) with exceptions of its own inner state.
            var at = parser.Current?.End ?? Mark.Empty;
            throw new YamlException(at, at, "cannot read on from here; is a bracket, brace or quote left open?", e);
        }
    }

    private WrittenAt Place(Mark mark) => new(file, (int)Math.Max(1, mark.Line), (int)Math.Max(1, mark.Column));

    private void Report(string code, WrittenAt at, string value, string message, string remedy) =>
        problems.Add(new DesignProblem(ProblemKind.Error, code, at, "", value, message, remedy));
}
