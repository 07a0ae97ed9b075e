using System.Globalization;

namespace PoeWatch.Domain.Readings;

/// <summary>
/// Names one PSE port of the site: the metered element (switch, managed injector, managed pass-through switch) and RFC 3621's
/// group and port numbers. Written <c>quay-west:1/7</c>. Immutable; <c>default</c> names nothing.
/// </summary>
public readonly record struct PsePortRef(string PseId, int Group, int Port) : IComparable<PsePortRef>
{
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{PseId}:{Group}/{Port}");

    public int CompareTo(PsePortRef other)
    {
        var byPse = string.CompareOrdinal(PseId, other.PseId);
        if (byPse != 0)
        {
            return byPse;
        }

        return Group != other.Group ? Group.CompareTo(other.Group) : Port.CompareTo(other.Port);
    }

    /// <summary>Reads <c>id:group/port</c> or, for group 1, <c>id:port</c>.</summary>
    public static bool TryParse(string? text, out PsePortRef port)
    {
        port = default;
        var colon = text?.LastIndexOf(':') ?? -1;
        if (text is null || colon <= 0)
        {
            return false;
        }

        var tail = text.AsSpan(colon + 1);
        var slash = tail.IndexOf('/');
        var group = 1;
        if (slash >= 0 && !TryNumber(tail[..slash], out group))
        {
            return false;
        }

        if (!TryNumber(slash >= 0 ? tail[(slash + 1)..] : tail, out var number))
        {
            return false;
        }

        port = new PsePortRef(text[..colon], group, number);
        return true;
    }

    private static bool TryNumber(ReadOnlySpan<char> text, out int number) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out number) && number >= 1;
}
