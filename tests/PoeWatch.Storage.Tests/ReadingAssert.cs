using PoeWatch.Domain.Readings;

namespace PoeWatch.Storage.Tests;

/// <summary>Equality of readings to the last detail; the records themselves compare their arrays by reference.</summary>
internal static class ReadingAssert
{
    internal static void Equal(SwitchReading expected, SwitchReading actual)
    {
        // The assertions below say what differs; where nothing does they are slow.
        if (AreEqual(expected, actual))
        {
            return;
        }

        Assert.Equal(expected.At.UtcTicks, actual.At.UtcTicks);
        Assert.Equal(TimeSpan.Zero, actual.At.Offset);
        Assert.Equal(expected.Ports.AsEnumerable(), actual.Ports.AsEnumerable());
        Assert.Equal(expected.Groups.AsEnumerable(), actual.Groups.AsEnumerable());
        Assert.Equal(expected.InterfaceNames.OrderBy(n => n.Key), actual.InterfaceNames.OrderBy(n => n.Key));
        Assert.Equal(
            (expected.PseId, expected.Sequence, expected.Outcome, expected.Detail, expected.UpTime),
            (actual.PseId, actual.Sequence, actual.Outcome, actual.Detail, actual.UpTime));
        Assert.Fail("The readings differ, and no part of them does.");
    }

    private static bool AreEqual(SwitchReading a, SwitchReading b) =>
        a.At.UtcTicks == b.At.UtcTicks && b.At.Offset == TimeSpan.Zero
        && (a.PseId, a.Sequence, a.Outcome, a.Detail, a.UpTime) == (b.PseId, b.Sequence, b.Outcome, b.Detail, b.UpTime)
        && a.Ports.SequenceEqual(b.Ports) && a.Groups.SequenceEqual(b.Groups)
        && a.InterfaceNames.Count == b.InterfaceNames.Count && a.InterfaceNames.All(n => b.InterfaceNames.TryGetValue(n.Key, out var name) && name == n.Value);

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
