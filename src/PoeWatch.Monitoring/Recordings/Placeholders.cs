using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text.RegularExpressions;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>Placeholders by what they stand for, numbered as they come: the same for the same. For one recording.</summary>
internal sealed class Placeholders
{
    // What is shorter would be found in words that mean something else.
    private const int ReplacedLengthMin = 4;

    private readonly Dictionary<string, string> _texts = new(StringComparer.Ordinal);
    private readonly Dictionary<string, int> _macs = new(StringComparer.Ordinal);
    private readonly Dictionary<IPAddress, int> _addresses = [];
    private readonly Dictionary<string, int> _counts = new(StringComparer.Ordinal);
    private (int Count, string[] Longest) _order = (0, []);

    /// <summary><c>name-3</c>; a name that was a place before stays the place.</summary>
    public string Text(ScrubKind kind, string text)
    {
        if (!_texts.TryGetValue(text, out var known))
        {
            var word = kind switch { ScrubKind.Name => "name", ScrubKind.Place => "place", ScrubKind.Contact => "contact", ScrubKind.Serial => "serial", _ => "text" };
            var number = _counts[word] = _counts.GetValueOrDefault(word) + 1;
            _texts[text] = known = string.Create(CultureInfo.InvariantCulture, $"{word}-{number}");
        }

        return known;
    }

    /// <summary>An address out of those that nobody was given (the bit of local administration).</summary>
    /// <param name="digits">Twelve hexadecimal digits, small.</param>
    public byte[] Mac(string digits)
    {
        var number = Number(_macs, digits);
        return [0x02, 0, 0, (byte)(number >> 16), (byte)(number >> 8), (byte)number];
    }

    /// <summary>198.18.0.0/15, which RFC 2544 sets aside for measurements, and 2001:db8::/32, which RFC 3849 sets aside for documents.</summary>
    public IPAddress Address(IPAddress address)
    {
        if (IPAddress.Any.Equals(address) || IPAddress.IPv6Any.Equals(address) || IPAddress.IsLoopback(address))
        {
            return address;
        }

        var number = Number(_addresses, address);
        return address.AddressFamily == AddressFamily.InterNetwork
            ? new IPAddress([198, (byte)(18 + ((number >> 16) & 1)), (byte)(number >> 8), (byte)number])
            : new IPAddress([0x20, 0x01, 0x0d, 0xb8, 0, 0, 0, 0, 0, 0, 0, 0, 0, (byte)(number >> 16), (byte)(number >> 8), (byte)number]);
    }

    /// <summary>A text that stays, without what was replaced elsewhere and without addresses.</summary>
    public string CleanText(string text)
    {
        if (_order.Count != _texts.Count)
        {
            _order = (_texts.Count, [.. _texts.Keys.Where(known => known.Length >= ReplacedLengthMin).OrderByDescending(known => known.Length)]);
        }

        foreach (var known in _order.Longest)
        {
            if (text.Contains(known, StringComparison.OrdinalIgnoreCase))
            {
                text = Regex.Replace(text, $@"(?<![\p{{L}}\p{{N}}]){Regex.Escape(known)}(?![\p{{L}}\p{{N}}])", _texts[known], RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);
            }
        }

        text = ScrubForms.MacText().Replace(text, found => ScrubForms.InFormOf(found.Value, Mac(ScrubForms.Digits(found.Value))));
        return ScrubForms.Ipv4Text().Replace(text, found => IPAddress.TryParse(found.Value, out IPAddress? address) ? Address(address).ToString() : found.Value);
    }

    private static int Number<TKey>(Dictionary<TKey, int> numbers, TKey key)
        where TKey : notnull
    {
        if (!numbers.TryGetValue(key, out var number))
        {
            numbers[key] = number = numbers.Count + 1;
        }

        return number;
    }
}
