using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Text;

/// <summary>A value of a design's text with its place, whatever the notation. Scalars stay text: nothing is guessed from their look.</summary>
internal abstract record TreeValue(WrittenAt At)
{
    /// <summary>What people call this kind of value.</summary>
    public abstract string Noun { get; }
}

internal sealed record TreeScalar(string Text, WrittenAt At) : TreeValue(At)
{
    public override string Noun => "a single value";

    public Written<string> Written => new(Text, At);
}

internal sealed record TreeList(ImmutableArray<TreeValue> Items, WrittenAt At) : TreeValue(At)
{
    public override string Noun => "a list";
}

internal sealed record TreeMap(ImmutableArray<TreeEntry> Entries, WrittenAt At) : TreeValue(At)
{
    public override string Noun => "a set of keys";
}

internal sealed record TreeEntry(Written<string> Key, TreeValue Value);
