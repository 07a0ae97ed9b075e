using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp.Tests;

/// <summary>The room of a walk: columns side by side, each as long as it turns out to be.</summary>
public sealed class WalkRowsTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(55)]
    [InlineData(57)]
    [InlineData(1000)]
    public void Columns_that_grow_leave_each_other_whole(int rows)
    {
        const int Columns = 5;
        WalkRows room = new();
        for (int walk = 0; walk < 2; walk++)
        {
            room.Reset(Columns, instances: 0);
            for (int row = 0; row < rows; row++)
            {
                for (int column = 0; column < Columns; column++)
                {
                    // The last column is the shortest, the first the longest.
                    if (row % (column + 1) == 0)
                    {
                        room.Add(column, new StoredCell(SnmpType.Integer32, (row * 10) + column, KeyOf(row)));
                    }
                }
            }

            for (int column = 0; column < Columns; column++)
            {
                int step = column + 1;
                IEnumerable<long> expected = Enumerable.Range(0, rows).Where(row => row % step == 0).Select(row => (row * 10L) + step - 1);
                Assert.Equal(expected, room.RowsOf(column).ToArray().Select(cell => cell.Number));
                Assert.Equal(room.RowsOf(column)[^1].Number, room.Newest(column).Number);
            }
        }
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(int.MinValue)]
    [InlineData(uint.MaxValue)]
    [InlineData((1L << 39) - 1)]
    [InlineData(-(1L << 39))]
    public void Numbers_under_short_indexes_come_back(long number)
    {
        StoredCell cell = new(SnmpType.Gauge32, number, KeyOf(7));

        Assert.Equal((SnmpType.Gauge32, number, KeyOf(7)), (cell.Type, cell.Number, cell.Key));
    }

    [Fact]
    public void Names_and_octets_come_back_by_their_places()
    {
        StoredCell cell = new(SnmpType.OctetString, StoredCell.Place(70_000, 300), 65_000, 129);

        Assert.Equal((SnmpType.OctetString, 0UL, 65_000, 129), (cell.Type, cell.Key, cell.NameOffset, cell.NameLength));
        Assert.Equal(StoredCell.Place(70_000, 300), cell.Number);
    }

    private static ulong KeyOf(int row) => StoredCell.KeyOf([(byte)(row / 100), (byte)(row % 100)]);
}
