using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>Which segments of a design have a meter at each end, and which readings of both ends belong together.</summary>
public sealed class MeteredSegmentTests
{
    private static readonly DateTimeOffset s_noon = Harbour.Noon;

    [Fact]
    public void A_port_and_a_managed_pass_through_switch_meter_the_segment_between_them()
    {
        var segment = Assert.Single(MeteredSegment.Of(Harbour.Design().Build()));

        Assert.Equal(("quay-west:1/2", "quay-west:1/2", "pts-2", 54.0), (segment.CableRunId, segment.FedBy.ToString(), segment.FarId, segment.AtPse.Volts));
        Assert.Equal(["pts-2:1/1", "pts-2:1/2", "pts-2:1/3", "pts-2:1/4"], segment.FarOutputs.Select(output => output.ToString()));

        // 60 m of 23 AWG, 20.36 ohm per 1000 ft of one conductor (wire table of Floyd at HyperPhysics), two of them side by side there and two back.
        Assert.Equal(60.0 / 304.8 * 20.36 / 2.0, segment.Designed.Ohms, 0.001);
        Assert.Equal(segment.Designed.Ohms * 1.15, segment.SoundMost.Ohms, 1e-9);
    }

    [Fact]
    public void Nothing_is_metered_behind_an_unmanaged_switch_or_an_extender_or_an_injector_without_agent()
    {
        var design = new DesignModelBuilder().DeviceType("camera", 9).Switch("quay-west", 200).Port("quay-west:1/1", 90).Port("quay-west:1/2", 90)
            .PassThrough("plain").Cable("quay-west:1/1", "plain")
            .Extender("ext").PassThrough("behind", managed: true).Cable("quay-west:1/2", "ext").Cable("ext:1", "behind")
            .Injector("inj").PassThrough("fed", managed: true).Cable("inj", "fed")
            .Build();

        Assert.Empty(MeteredSegment.Of(design));
    }

    [Theory]
    [InlineData(54.0, new[] { "first", "second" })]
    [InlineData(null, new[] { "first" })]
    public void A_chain_is_metered_on_where_the_first_switch_holds_its_volts(double? outputVolts, string[] far)
    {
        var design = new DesignModelBuilder().DeviceType("camera", 9).Switch("quay-west", 200).Port("quay-west:1/1", 90)
            .PassThrough("first", managed: true, outputVolts: outputVolts).PassThrough("second", managed: true)
            .Cable("quay-west:1/1", "first").Cable("first:3", "second").Build();

        var segments = MeteredSegment.Of(design);

        Assert.Equal(far, segments.Select(s => s.FarId));
        Assert.All(segments, s => Assert.Equal("quay-west:1/1", s.CableRunId));
        Assert.Equal(far.Length == 2 ? "first:1/3" : "quay-west:1/1", segments[^1].FedBy.ToString());
    }

    [Fact]
    public void Readings_pair_with_the_nearest_of_the_other_end_and_count_once()
    {
        var ends = new EndPairing(Segment(TimeSpan.FromSeconds(60)));

        Assert.Null(ends.NoteNear(s_noon, Power.FromWatts(30)));
        Assert.Null(ends.NoteFar(s_noon.AddSeconds(40), Power.FromWatts(20)));
        var sample = ends.NoteNear(s_noon.AddSeconds(60), Power.FromWatts(31));
        Assert.Equal((31.0, 20.0, s_noon.AddSeconds(60)), (sample!.Value.AtPse.Watts, sample.Value.WattsAtFarEnd!.Value.Watts, sample.Value.At));
        Assert.Null(ends.NoteNear(s_noon.AddSeconds(61), Power.FromWatts(31)));
    }

    [Fact]
    public void What_is_unknown_at_one_end_pairs_with_nothing()
    {
        var ends = new EndPairing(Segment(TimeSpan.FromSeconds(60)));
        ends.NoteNear(s_noon, Power.FromWatts(30));
        Assert.Null(ends.NoteNear(s_noon.AddSeconds(10), null));
        Assert.Null(ends.NoteFar(s_noon.AddSeconds(15), Power.FromWatts(20)));
    }

    internal static MeteredSegment Segment(TimeSpan period, double ohms = 5.0, bool isMeasured = false) => new(
        "quay-west:1/1",
        new CableSegment(
            "cable-pts", new Termination("quay-west", 1, 1), "pts", Length.FromMeters(ohms / 0.08422), 24, 2, null, ConductorMaterial.Copper,
            isMeasured ? Resistance.FromOhms(ohms) : null, Temperature.FromCelsius(20)),
        new PsePortRef("quay-west", 1, 1), ImmutableArray.Create(new PsePortRef("pts", 1, 1)), Voltage.FromVolts(DrawnSegment.NominalVolts), period);
}
