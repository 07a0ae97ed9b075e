namespace PoeWatch.Domain.PowerFlow;

/// <summary>One limit and how far the solution is from it. Immutable and thread safe.</summary>
/// <param name="ElementId">Where the limit is: a PSE port, an injector, an element or a segment.</param>
/// <param name="LimitValue">The limit in <paramref name="Unit"/>.</param>
/// <param name="Value">Where the solution stands, in <paramref name="Unit"/>.</param>
/// <param name="Unit">"W", "V", "A", "m", "ohm", "°C" or "outputs".</param>
/// <param name="Source">Where the limit comes from: a table of the standard, the type plate in the design.</param>
public sealed record LimitMargin(LimitKind Kind, string ElementId, double LimitValue, double Value, string Unit, string Source)
{
    // Of a thousand limits people read one: the words are put together when somebody asks. Two threads that ask at once find the same words.
    private string? _sentence;

    /// <summary>True where the solution breaks the limit.</summary>
    public required bool IsBroken { get; init; }

    /// <summary>True where breaking it warns people but proves no failure: no design is refused for it and no headroom counts it.</summary>
    public bool IsAdvice { get; init; }

    /// <summary>For a technician: which limit, at which place, with its numbers.</summary>
    public string Sentence
    {
        get => _sentence ??= At is { } at ? LimitWording.Sentence(this, at) : string.Empty;
        init => _sentence = value;
    }

    /// <summary>Where in a run it stands, for the sentence; null where the sentence was given.</summary>
    internal LimitPlace? At { get; init; }

    /// <summary>Two limits are the same where their numbers and places are; the words follow from these.</summary>
    public bool Equals(LimitMargin? other) =>
        other is not null
        && (Kind, ElementId, LimitValue, Value, Unit, Source, IsBroken, IsAdvice)
            == (other.Kind, other.ElementId, other.LimitValue, other.Value, other.Unit, other.Source, other.IsBroken, other.IsAdvice);

    public override int GetHashCode() => HashCode.Combine(Kind, ElementId, LimitValue, Value, IsBroken);
}

/// <summary>Where a limit stands in a run that is laid out for solving.</summary>
/// <param name="Place">As in <see cref="LimitCheck"/>.</param>
/// <param name="Output">As in <see cref="LimitCheck"/>.</param>
internal readonly record struct LimitPlace(FlowTree Tree, int Place, int Output);
