using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What stands behind a column in the name of a value: one to four numbers. Immutable.</summary>
internal readonly record struct CellIndex(int Count, uint First, uint Second, uint Third, uint Fourth)
{
    public const int CountMax = 4;

    public static CellIndex Of(params ReadOnlySpan<uint> numbers) => new(
        numbers.Length, At(numbers, 0), At(numbers, 1), At(numbers, 2), At(numbers, 3));

    /// <summary>Null where the name is not of the column, or has more numbers behind it.</summary>
    public static CellIndex? Of(Oid column, Oid name)
    {
        Span<uint> numbers = stackalloc uint[CountMax];
        return name.TryGetIndex(column, numbers, out var count) && count is >= 1 and <= CountMax ? Of(numbers[..count]) : null;
    }

    private static uint At(ReadOnlySpan<uint> numbers, int place) => place < numbers.Length ? numbers[place] : 0;
}
