using PoeWatch.Domain.Design;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Tests.Evidence.Seals;

/// <summary>The bytes were written down by hand from docs/evidence-export.md, not taken from the code.</summary>
public sealed class CanonicalRowTests
{
    // 2026-11-25T10:00:07.000001Z: 1,795,600,807 s after 1970 (date -u +%s) and one microsecond = 0x0006 6116 E442 77C1 microseconds.
    private const string At = "00066116e44277c1";

    private static readonly DateTimeOffset Time = DateTimeOffset.FromUnixTimeSeconds(1_795_600_807).AddTicks(19);

    private static readonly SwitchReading Reading = new(
        "quay", 7, Time, PollOutcome.Partial, "é", TimeSpan.FromMilliseconds(12_345),
        [
            new PortReading(new PsePortRef("quay", 1, 2), PortState.Delivering, Power.FromWatts(12.5), Provenance.Measured, PoeClass.Class4) { Priority = Criticality.High },
            new PortReading(new PsePortRef("quay", 1, 1), PortState.Unknown, null, Provenance.Unknown, null),
        ],
        [new GroupReading(1, Power.FromWatts(370), null, Provenance.Unknown, true)]);

    [Fact]
    public void The_bytes_of_each_kind_of_row_are_those_of_the_document()
    {
        var rows = CanonicalRow.RowsOf(Reading);
        Assert.Equal(
            [
                // version, kind, length and name, time, outcome partial, detail, up-time 1,234 hundredths, 2 ports, 1 group
                "01" + "01" + "00000004" + "71756179" + At + "02" + "00000002" + "c3a9" + "01" + "00000000000004d2" + "00000002" + "00000001",
                // group 1, port 1, nothing known of it
                "01" + "02" + "00000004" + "71756179" + At + "00000001" + "00000001" + "00" + "00" + "ff" + "00" + "00",
                // group 1, port 2, delivering, measured, class 4, priority high, 12,500 mW
                "01" + "02" + "00000004" + "71756179" + At + "00000001" + "00000002" + "03" + "01" + "04" + "02" + "01" + "00000000000030d4",
                // group 1, unknown, no draw, budget 370,000 mW, on
                "01" + "03" + "00000004" + "71756179" + At + "00000001" + "00" + "00" + "01" + "000000000005a550" + "02",
            ],
            rows.Select(r => Convert.ToHexStringLower(CanonicalRow.Encode(r))));
    }

    [Fact]
    public void The_bytes_of_a_leaf_are_those_of_the_document()
    {
        var poll = SealedPoll.Of(Reading);
        var leaf = new SealLeaf(SealKind.Amendment, "quay", SealInterval.StartOf(poll.AtMicroseconds), [poll]);
        Assert.Equal(
            // version, kind, length and name, start 10:00:00, 900 s, 1 poll: time, 4 rows, root
            "01" + "02" + "00000004" + "71756179" + "00066116e3d7a800" + "00000384" + "00000001" + At + "00000004" + poll.Root,
            Convert.ToHexStringLower(leaf.Encode()));
        Assert.Equal(HashTree.Root([.. CanonicalRow.RowsOf(Reading).Select(r => HashTree.Leaf(CanonicalRow.Encode(r)))]), poll.Root);
        Assert.Equal(HashTree.Leaf(leaf.Encode()), leaf.Hash());
    }

    [Fact]
    public void Every_field_of_a_row_changes_its_hash()
    {
        var poll = new EvidenceRow(EvidenceRowKind.Poll, "quay", 5) { Outcome = PollOutcome.Answered, Detail = "a", UpTimeCentiseconds = 3, PortCount = 1, GroupCount = 1 };
        var port = new EvidenceRow(EvidenceRowKind.Port, "quay", 5)
        {
            Group = 1, Port = 2, State = PortState.Delivering, Provenance = Provenance.Measured, AssignedClass = 3, Priority = 1, Milliwatts = 9,
        };
        var group = new EvidenceRow(EvidenceRowKind.Group, "quay", 5) { Group = 1, Provenance = Provenance.Measured, Milliwatts = 9, BudgetMilliwatts = 8, IsOn = true };
        EvidenceRow[] all =
        [
            poll, port, group,
            poll with { PseId = "quai" }, poll with { AtMicroseconds = 6 }, poll with { Outcome = PollOutcome.Silent }, poll with { Detail = "b" },
            poll with { UpTimeCentiseconds = 4 }, poll with { UpTimeCentiseconds = null }, poll with { PortCount = 2 }, poll with { GroupCount = 2 },
            port with { Group = 2 }, port with { Port = 1 }, port with { State = PortState.Fault }, port with { Provenance = Provenance.Estimated },
            port with { AssignedClass = null }, port with { AssignedClass = 0 }, port with { Priority = 0 }, port with { Milliwatts = 10 }, port with { Milliwatts = null },
            port with { Milliwatts = 0 },
            group with { Group = 2 }, group with { Provenance = Provenance.Unknown }, group with { Milliwatts = 7 }, group with { Milliwatts = null },
            group with { BudgetMilliwatts = 7 }, group with { BudgetMilliwatts = null }, group with { IsOn = false }, group with { IsOn = null },
        ];
        Assert.Equal(all.Length, all.Select(CanonicalRow.HashOf).Distinct().Count());
    }

    [Theory]
    [InlineData("2026-11-25T10:00:00Z", "2026-11-25T10:00:00Z")]
    [InlineData("2026-11-25T10:14:59.9999999Z", "2026-11-25T10:00:00Z")]
    [InlineData("1969-12-31T23:59:59.9999999Z", "1969-12-31T23:45:00Z")]
    [InlineData("2026-03-29T02:07:00+01:00", "2026-03-29T01:00:00Z")]
    public void A_quarter_hour_begins_where_UTC_says(string time, string start) =>
        Assert.Equal(DateTimeOffset.Parse(start, null), SealInterval.StartOf(DateTimeOffset.Parse(time, null)));

    [Fact]
    public void A_silence_is_a_leaf_of_its_own_for_each_element_and_quarter_hour()
    {
        SealLeaf[] leaves = [new(SealKind.Seal, "a", 0, []), new(SealKind.Seal, "b", 0, []), new(SealKind.Seal, "a", 900_000_000, []), new(SealKind.Amendment, "a", 0, [])];
        Assert.Equal(4, leaves.Select(l => l.Hash()).Distinct().Count());
    }
}
