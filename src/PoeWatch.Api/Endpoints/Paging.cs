using System.Buffers.Binary;
using System.Buffers.Text;
using System.Globalization;
using System.Text;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.Endpoints;

/// <summary>
/// Pages by key, not by number: the cursor holds the sort key of the last item shown, so that a list that changes between two pages neither
/// repeats nor skips what stayed. Pure.
/// </summary>
internal static class Paging
{
    public const int LimitDefault = 100;
    public const int LimitMax = 500;

    /// <summary>One page; or the problem with limit or cursor.</summary>
    /// <param name="list">Name of the list: a cursor of one list is refused by another.</param>
    /// <param name="sortKey">Unique in the list; items come in its ordinal order.</param>
    public static (Slice<T>? Slice, ProblemHttpResult? Problem) Cut<T>(
        string list, IEnumerable<T> items, Func<T, string> sortKey, int? limit, string? cursor)
    {
        if (limit is < 1 or > LimitMax)
        {
            return (null, Problem.BadValue(
                "limit", limit.Value.ToString(CultureInfo.InvariantCulture), $"A page holds 1 to {LimitMax} items.", $"Leave it out for {LimitDefault}."));
        }

        var after = "";
        if (!string.IsNullOrEmpty(cursor) && !TryRead(list, cursor, out after))
        {
            return (null, Problem.Of(ProblemTypes.BadCursor, "This list gave no such cursor.", "cursor", cursor, "Start again without one."));
        }

        var keyed = items.Select(item => (Key: sortKey(item), Item: item)).OrderBy(i => i.Key, StringComparer.Ordinal).ToList();
        var rest = keyed.SkipWhile(i => after.Length > 0 && string.CompareOrdinal(i.Key, after) <= 0).ToList();
        var page = rest.Take(limit ?? LimitDefault).ToList();
        var next = page.Count < rest.Count ? Write(list, page[^1].Key) : null;
        return (new Slice<T>([.. page.Select(i => i.Item)], keyed.Count, next), null);
    }

    /// <summary>A number as text that sorts ordinally as the number does; null sorts last.</summary>
    public static string Sortable(double? number)
    {
        if (number is not { } value)
        {
            return "~";
        }

        var bits = BitConverter.DoubleToInt64Bits(value);
        var ordered = bits < 0 ? ~bits : bits ^ long.MinValue;
        Span<byte> bytes = stackalloc byte[8];
        BinaryPrimitives.WriteInt64BigEndian(bytes, ordered);
        return Convert.ToHexString(bytes);
    }

    private static string Write(string list, string key) => Base64Url.EncodeToString(Encoding.UTF8.GetBytes($"{list}\n{key}"));

    private static bool TryRead(string list, string cursor, out string key)
    {
        key = "";
        if (cursor.Length > 1_000 || !Base64Url.IsValid(cursor))
        {
            return false;
        }

        var text = Encoding.UTF8.GetString(Base64Url.DecodeFromChars(cursor));
        if (!text.StartsWith($"{list}\n", StringComparison.Ordinal))
        {
            return false;
        }

        key = text[(list.Length + 1)..];
        return key.Length > 0;
    }
}
