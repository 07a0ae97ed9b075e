using System.Collections.Immutable;
using PoeWatch.DesignFiles.Text;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Takes the keys of one map by their names; reports keys that its section does not know and values of the wrong shape.</summary>
internal sealed class MapReader
{
    private readonly Dictionary<string, TreeEntry> _entries = new(StringComparer.Ordinal);
    private readonly ImmutableArray<string> _keys;
    private readonly List<DesignProblem> _problems;
    private readonly string _element;

    private readonly ImmutableDictionary<string, ImmutableArray<string>> _sections;

    /// <param name="sections">Keys by section; those of a design where none are given.</param>
    public MapReader(
        TreeMap map, string section, List<DesignProblem> problems, ImmutableDictionary<string, ImmutableArray<string>>? sections = null)
    {
        _sections = sections ?? DesignKeys.Sections;
        (At, Section, _problems, _keys) = (map.At, section, problems, _sections[section]);
        _element = map.Entries.Select(e => e is { Key.Value: "id", Value: TreeScalar id } ? id.Text : null).FirstOrDefault(id => id is not null) ?? "";
        foreach (var entry in map.Entries)
        {
            if (_keys.Contains(entry.Key.Value))
            {
                _entries.Add(entry.Key.Value, entry);
            }
            else
            {
                ReportUnknown(entry.Key);
            }
        }
    }

    public WrittenAt At { get; }

    public string Section { get; }

    /// <summary>A scalar; null where it is not written or has the wrong shape, which is reported.</summary>
    public Written<string>? Text(string key)
    {
        switch (Take(key))
        {
            case null:
                return null;
            case TreeScalar { Text: "" } empty:
                Report("empty-value", empty.At, "", $"'{key}' has no value.", "Write a value, or remove the key.");
                return null;
            case TreeScalar scalar:
                return scalar.Written;
            case { } other:
                ReportShape(key, other, "a single value");
                return null;
        }
    }

    public T? Map<T>(string key, string section, Func<MapReader, T> read)
        where T : class
    {
        switch (Take(key))
        {
            case null:
                return null;
            case TreeMap map:
                return read(new MapReader(map, section, _problems, _sections));
            case { } other:
                ReportShape(key, other, "keys, indented under it");
                return null;
        }
    }

    /// <summary>A list of maps; empty where it is not written or has the wrong shape, which is reported.</summary>
    public ImmutableArray<T> Maps<T>(string key, string section, Func<MapReader, T> read) =>
        [.. Items(key).Select(item => OneOfMaps(key, section, read, item)).OfType<T>()];

    /// <summary>A list of scalars.</summary>
    public ImmutableArray<Written<string>> Texts(string key)
    {
        var texts = ImmutableArray.CreateBuilder<Written<string>>();
        foreach (var item in Items(key))
        {
            if (item is TreeScalar scalar)
            {
                texts.Add(scalar.Written);
            }
            else
            {
                ReportShape(key, item, "a list of single values");
            }
        }

        return texts.ToImmutable();
    }

    /// <summary>A map whose keys are free names.</summary>
    public ImmutableArray<(Written<string> Name, Written<string> Value)> Pairs(string key)
    {
        var pairs = ImmutableArray.CreateBuilder<(Written<string>, Written<string>)>();
        switch (Take(key))
        {
            case null:
                break;
            case TreeMap map:
                foreach (var entry in map.Entries)
                {
                    if (entry.Value is TreeScalar { Text.Length: > 0 } scalar)
                    {
                        pairs.Add((entry.Key, scalar.Written));
                    }
                    else
                    {
                        ReportShape(entry.Key.Value, entry.Value, "a single value");
                    }
                }

                break;
            case { } other:
                ReportShape(key, other, "keys, indented under it");
                break;
        }

        return pairs.ToImmutable();
    }

    private ImmutableArray<TreeValue> Items(string key)
    {
        switch (Take(key))
        {
            case null or TreeScalar { Text: "" }:
                return [];
            case TreeList list:
                return list.Items;
            case { } other:
                ReportShape(key, other, "a list: one '- ' entry each");
                return [];
        }
    }

    private T? OneOfMaps<T>(string key, string section, Func<MapReader, T> read, TreeValue item)
    {
        if (item is TreeMap map)
        {
            return read(new MapReader(map, section, _problems, _sections));
        }

        ReportShape(key, item, "a list of entries with keys, such as '- id: …'");
        return default;
    }

    private TreeValue? Take(string key)
    {
        if (!_keys.Contains(key))
        {
            throw new ArgumentException($"The section '{Section}' has no key '{key}'.", nameof(key));
        }

        return _entries.TryGetValue(key, out var entry) ? entry.Value : null;
    }

    private void ReportUnknown(Written<string> key)
    {
        if (DesignKeys.Secrets.Contains(key.Value))
        {
            Report(
                "secret-in-design", key.At, key.Value, $"A design never carries secrets: '{key.Value}' is refused.",
                "Remove it, keep the secret in the service's settings, and write only the name of those settings as 'credentials'.");
            return;
        }

        Report(
            "unknown-key", key.At, key.Value, $"A {Section} has no key '{key.Value}'.",
            $"{Suggestion.Hint(key.Value, _keys)}The keys here are {string.Join(", ", _keys)}.");
    }

    private void ReportShape(string key, TreeValue value, string meant) =>
        Report("wrong-type", value.At, value is TreeScalar scalar ? scalar.Text : "", $"'{key}' is {value.Noun}.", $"Write {meant}.");

    private void Report(string code, WrittenAt at, string value, string message, string remedy) =>
        _problems.Add(new DesignProblem(ProblemKind.Error, code, at, _element, value, message, remedy));
}
