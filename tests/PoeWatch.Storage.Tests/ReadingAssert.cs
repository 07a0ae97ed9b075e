using PoeWatch.Domain.Readings;

namespace PoeWatch.Storage.Tests;

/// <summary>Equality of readings to the last detail; the records themselves compare their arrays by reference.</summary>
internal static class ReadingAssert
{
    internal static void Equal(SwitchReading expected, SwitchReading actual)
    {
        Assert.Equal(expected.At.UtcTicks, actual.At.UtcTicks);
        Assert.Equal(TimeSpan.Zero, actual.At.Offset);
        Assert.Equal(expected.Ports.AsEnumerable(), actual.Ports.AsEnumerable());
        Assert.Equal(expected.Groups.AsEnumerable(), actual.Groups.AsEnumerable());
        Assert.Equal(expected.InterfaceNames.OrderBy(n => n.Key), actual.InterfaceNames.OrderBy(n => n.Key));
        Assert.Equal(
            (expected.PseId, expected.Sequence, expected.Outcome, expected.Detail, expected.UpTime),
            (actual.PseId, actual.Sequence, actual.Outcome, actual.Detail, actual.UpTime));
    }

    internal static void Equal(IEnumerable<SwitchReading> expected, IEnumerable<SwitchReading> actual)
    {
        var left = expected.ToList();
        var right = actual.ToList();
        Assert.Equal(left.Count, right.Count);
        foreach (var (e, a) in left.Zip(right))
        {
            Equal(e, a);
        }
    }
}
