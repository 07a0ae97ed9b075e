using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>A UPS that says it is on battery. Words of source and battery: RFC 1628.</summary>
public sealed class UpsRuleTests
{
    private static readonly AlarmKey s_key = new("ups/ups-1", AlarmTypes.UpsOnBattery);

    [Theory]
    [InlineData(UpsSource.Normal, UpsBatteryState.Normal, null)]
    [InlineData(UpsSource.Bypass, UpsBatteryState.Depleted, null)]
    [InlineData(UpsSource.Battery, UpsBatteryState.Normal, AlarmSeverity.Major)]
    [InlineData(UpsSource.Battery, UpsBatteryState.Unknown, AlarmSeverity.Major)]
    [InlineData(UpsSource.Battery, UpsBatteryState.Low, AlarmSeverity.Critical)]
    [InlineData(UpsSource.Battery, UpsBatteryState.Depleted, AlarmSeverity.Critical)]
    public void Only_the_battery_as_source_raises_it_and_a_low_one_is_critical(UpsSource source, UpsBatteryState battery, AlarmSeverity? severity)
    {
        AlarmCondition? condition = Conditions(Design(), Read(Figures(source, battery))).SingleOrDefault(c => c.Key == s_key);
        Assert.Equal(severity, condition?.Severity);
    }

    [Fact]
    public void The_text_keeps_the_word_of_the_UPS_apart_from_what_is_reckoned()
    {
        // 400 Wh x 0.8 x 0.9 over 40 W / 0.9: 6.48 h.
        Assert.Equal(
            "UPS Cabinet (ups-1) has been on battery for 6 min. Its battery is low. The UPS says that 37 min are left at 62 % of its charge; by the design a charged battery lasts 388 min "
            + "at the present draw. Behind it: quay-west.",
            Conditions(Design(), Read(Figures(UpsSource.Battery, UpsBatteryState.Low))).Single(c => c.Key == s_key).Text);
    }

    [Fact]
    public void A_reading_that_is_too_old_or_missing_neither_raises_nor_clears()
    {
        DesignModel design = Design();
        UpsReading old = Read(Figures(UpsSource.Battery, UpsBatteryState.Normal)) with { GoodUntil = Harbour.Noon };
        foreach (UpsReading[] readings in (UpsReading[][])[[old], [], [Read(null)]])
        {
            SiteAssessment site = Assess(design, readings);
            Assert.DoesNotContain(AlarmRules.Evaluate(design, site), c => c.Key == s_key);
            Assert.False(AlarmRules.IsKnown(s_key, design, site));
        }
    }

    [Fact]
    public void A_UPS_without_an_agent_in_the_design_is_known_to_raise_nothing()
    {
        DesignModel design = Design(hasAgent: false);
        SiteAssessment site = Assess(design, Read(Figures(UpsSource.Battery, UpsBatteryState.Normal)));
        Assert.DoesNotContain(AlarmRules.Evaluate(design, site), c => c.Key == s_key);
        Assert.True(AlarmRules.IsKnown(s_key, design, site));
    }

    internal static IReadOnlyList<AlarmCondition> LowBattery() => Conditions(Design(), Read(Figures(UpsSource.Battery, UpsBatteryState.Low)));

    private static IReadOnlyList<AlarmCondition> Conditions(DesignModel design, UpsReading reading) => AlarmRules.Evaluate(design, Assess(design, reading));

    private static SiteAssessment Assess(DesignModel design, params UpsReading[] readings) => SiteAssessor.Assess(
        DesignAnalysis.Of(design),
        new SnapshotBuilder(Harbour.Noon).Answered("quay-west", Harbour.Fresh, SnapshotBuilder.Delivering("quay-west:1", 40)).Build(),
        upsReadings: readings);

    private static UpsReading Read(UpsFigures? told) => new("ups-1", told, Harbour.Noon.AddSeconds(-5), Harbour.Noon.AddMinutes(3), told is null ? "silent" : "");

    private static UpsFigures Figures(UpsSource source, UpsBatteryState battery) =>
        new(source, battery, source == UpsSource.Battery ? TimeSpan.FromMinutes(6) : TimeSpan.Zero, TimeSpan.FromMinutes(37), 62, 41, Power.FromWatts(183));

    private static DesignModel Design(bool hasAgent = true) => new DesignModelBuilder()
        .DeviceType("camera", 9).Device("cam-1", "camera", "pole-1")
        .Switch("quay-west", 120).Port("quay-west:1", 60).Cable("quay-west:1", "cam-1", 40)
        .Ups(new Ups("ups-1", "Cabinet", ["quay-west"], 400, Ratio.FromFraction(0.9), Ratio.FromFraction(0.8), Power.Zero, null)
        {
            Agent = hasAgent ? new SnmpAgent("192.0.2.14", 161, "default", TimeSpan.FromMinutes(1), null) : null,
        })
        .Build();
}
