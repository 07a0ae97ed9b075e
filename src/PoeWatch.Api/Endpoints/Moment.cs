using System.Globalization;

namespace PoeWatch.Api.Endpoints;

/// <summary>A time given in an address: RFC 3339 with an offset, so that nobody has to guess a zone. <c>default</c> is no lawful time.</summary>
public readonly record struct Moment(DateTimeOffset Utc)
{
    private static readonly string[] Forms =
    [
        "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK", "yyyy-MM-dd' 'HH:mm:ssK",
    ];

    /// <summary>Reads a time; used by the binding of addresses.</summary>
    public static bool TryParse(string? text, IFormatProvider? provider, out Moment moment)
    {
        moment = default;
        if (text is null || text.Length is < 20 or > 40)
        {
            return false;
        }

        // A '+' in an address arrives as a space; before the offset nothing else can have stood there.
        var written = text[^6] == ' ' ? string.Concat(text.AsSpan(0, text.Length - 6), "+", text.AsSpan(text.Length - 5)) : text;
        var hasOffset = written[^1] is 'Z' or 'z' || written[^6] is '+' or '-';
        if (!hasOffset || !DateTimeOffset.TryParseExact(
            written.ToUpperInvariant(), Forms, CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal, out var time))
        {
            return false;
        }

        moment = new Moment(time.ToUniversalTime());
        return true;
    }
}
