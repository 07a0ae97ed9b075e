using PoeWatch.TestKit.Stores;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>How many bytes a port sample takes on disk: row, index and page slack. Each adapter inherits it.</summary>
public abstract class StoredSizeSuite : StoreSuite
{
    private const int Switches = 20;
    private const int Hours = 12;
    private const int Ports = 48;
    private const double Samples = Switches * Hours * 60.0 * Ports;

    /// <summary>Bytes a port sample in the journal, at most.</summary>
    protected abstract double JournalBytesAtMost { get; }

    // Of half a day the last pages of table and index still count, hence 0.33 where 0.3 is wanted; nothing longer is measured.
    [Theory]
    [InlineData(1, 1.0)]
    [InlineData(100, 0.33)]
    public async Task A_port_sample_takes_few_bytes(int stepMilliwatts, double blockBytesAtMost)
    {
        await using var store = await Harness.OpenAsync();
        await store.Upkeep.PrepareUntilAsync(SampleSite.Start, SampleSite.Start.AddHours(Hours), Token);
        var (journalBefore, blocksBefore) = (await Harness.JournalBytesAsync(), await Harness.BlockBytesAsync());
        var site = new SampleSite(48, Ports, stepMilliwatts);
        for (var minute = 0; minute < Hours * 60; minute += 10)
        {
            await store.History.AppendAsync(
                [.. Enumerable.Range(minute, 10).SelectMany(m => Enumerable.Range(0, Switches).Select(s => site.Poll(s, m)))], Token);
        }

        var journal = (await Harness.JournalBytesAsync() - journalBefore) / Samples;
        while (await store.Upkeep.PackAsync(SampleSite.Start.AddHours(Hours + 1), Token) > 0)
        {
        }

        Assert.Equal(0, await Harness.CountAsync("poll"));
        var blocks = (await Harness.BlockBytesAsync() - blocksBefore) / Samples;
        TestContext.Current.SendDiagnosticMessage(
            $"{GetType().Name}, steps of {stepMilliwatts} mW: {blocks:0.000} bytes a port sample in blocks, {journal:0.00} in the journal");
        Assert.InRange(journal, 1.0, JournalBytesAtMost);
        Assert.InRange(blocks, 0.1, blockBytesAtMost);
    }
}
