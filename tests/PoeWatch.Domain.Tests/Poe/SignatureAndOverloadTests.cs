using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Poe;

/// <summary>What comes before power (detection, classification) and what ends it (overload).</summary>
public sealed class SignatureAndOverloadTests
{
    // TI TPS23754 data sheet: 23.7 to 26.3 kilohm. A PSE's own window, 19 to 26.5 kilohm: from memory.
    [Theory]
    [InlineData(23.6, false, true)]
    [InlineData(23.7, true, true)]
    [InlineData(24.9, true, true)]
    [InlineData(26.3, true, true)]
    [InlineData(26.4, false, true)]
    [InlineData(26.5, false, true)]
    [InlineData(26.6, false, false)]
    [InlineData(19.0, false, true)]
    [InlineData(18.9, false, false)]
    [InlineData(0.15, false, false)]
    public void A_pd_shows_about_25_kilohm(double kilohm, bool isSignature, bool mustBeAccepted)
    {
        var shown = Resistance.FromOhms(1000 * kilohm);

        Assert.Equal((isSignature, mustBeAccepted), (Detection.IsSignature(shown), Detection.MustBeAccepted(shown)));
    }

    [Fact]
    public void Windows_of_detection_end_where_the_standard_says() => Assert.Equal(
        (19_000.0, 23_700.0, 26_300.0, 26_500.0),
        (Detection.AcceptedLowest.Ohms, Detection.SignatureLowest.Ohms, Detection.SignatureHighest.Ohms, Detection.AcceptedHighest.Ohms));

    // TI TPS2376-H data sheet, p. 6: class 0 0-4 mA, 1 9-12, 2 17-20, 3 26-30, 4 36-44.
    [Theory]
    [InlineData(0, PoeClass.Class0)]
    [InlineData(4, PoeClass.Class0)]
    [InlineData(4.1, null)]
    [InlineData(8.9, null)]
    [InlineData(9, PoeClass.Class1)]
    [InlineData(12, PoeClass.Class1)]
    [InlineData(12.1, null)]
    [InlineData(16.9, null)]
    [InlineData(17, PoeClass.Class2)]
    [InlineData(20, PoeClass.Class2)]
    [InlineData(20.1, null)]
    [InlineData(25.9, null)]
    [InlineData(26, PoeClass.Class3)]
    [InlineData(30, PoeClass.Class3)]
    [InlineData(30.1, null)]
    [InlineData(35.9, null)]
    [InlineData(36, PoeClass.Class4)]
    [InlineData(44, PoeClass.Class4)]
    [InlineData(44.1, null)]
    public void Current_of_a_class_event_tells_the_class(double milliamperes, PoeClass? expected) =>
        Assert.Equal(expected, Classification.ClassOf(Current.FromAmperes(milliamperes / 1000)));

    [Theory]
    [InlineData(PoeClass.Class5)]
    [InlineData(PoeClass.Class8)]
    public void Higher_classes_have_no_current_of_their_own(PoeClass poeClass) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Classification.CurrentOf(poeClass));

    // TI TPS2373 data sheet, Table 2; four events for 51 W: TI E2E 743837.
    [Theory]
    [InlineData(PoeClass.Class0, 1)]
    [InlineData(PoeClass.Class3, 1)]
    [InlineData(PoeClass.Class4, 2)]
    [InlineData(PoeClass.Class5, 4)]
    [InlineData(PoeClass.Class6, 4)]
    [InlineData(PoeClass.Class7, 5)]
    [InlineData(PoeClass.Class8, 5)]
    public void More_events_grant_a_higher_class(PoeClass granted, int events) => Assert.Equal(events, Classification.EventsFor(granted));

    // ICUT of class 3 at 44 V is Type 1's 350 mA, of class 4 at 50 V Type 2's 600 mA (TI TPS2379 Table 2: the currents of the two types).
    [Theory]
    [InlineData(PoeClass.Class3, PoeType.Type1, 44, 0.350)]
    [InlineData(PoeClass.Class4, PoeType.Type2, 50, 0.600)]
    [InlineData(PoeClass.Class6, PoeType.Type3, 50, 1.200)]
    public void Overload_begins_at_the_watts_of_the_class(PoeClass assigned, PoeType type, double volts, double amperes) =>
        Assert.Equal(amperes, Overload.CutAt(assigned, type, Voltage.FromVolts(volts)).Amperes, 1e-9);

    // Linear Technology LTC4263 data sheet, Table 1: a typical controller cuts class 0 and 3 at 375 mA, class 2 at 175 mA, class 1 at 100 mA: above what the class takes at 44 V.
    [Theory]
    [InlineData(PoeClass.Class1, 0.100)]
    [InlineData(PoeClass.Class2, 0.175)]
    [InlineData(PoeClass.Class3, 0.375)]
    public void A_controller_on_the_market_cuts_a_little_above(PoeClass assigned, double amperes) =>
        Assert.InRange(amperes, Overload.CutAt(assigned, PoeType.Type1, Voltage.FromVolts(44)).Amperes, 1.15 * Overload.CutAt(assigned, PoeType.Type1, Voltage.FromVolts(44)).Amperes);

    // IEEE 802.3 clause 33, from memory: 400 mA and 684 mA.
    [Theory]
    [InlineData(PoeType.Type1, 0.400)]
    [InlineData(PoeType.Type2, 0.684)]
    [InlineData(PoeType.Type3, 0.684)]
    [InlineData(PoeType.Type4, 1.0944)]
    public void Limit_lets_more_through_than_the_type_may_carry(PoeType type, double amperes)
    {
        Assert.Equal(amperes, Overload.LimitAtLeast(type)!.Value.Amperes, 1e-9);
        Assert.True(Overload.LimitAtLeast(type) > PoeTables.LimitsOf(type)!.Value.PairsetMaximumCurrent);
    }

    [Fact]
    public void Outside_the_standard_nothing_is_limited() => Assert.Null(Overload.LimitAtLeast(PoeType.Unknown));

    // TI TPS2388 data sheet: 50 to 70 ms by default, 15 ms or less for higher power; 75 ms and 0.75 s from memory. A peak must end before a PSE may cut it off.
    [Fact]
    public void Timers_are_those_of_the_standard()
    {
        Assert.Equal((50, 75), (Overload.CutShortest.TotalMilliseconds, Overload.CutLongest.TotalMilliseconds));
        Assert.Equal((70, 15), (Overload.LimitLongest.TotalMilliseconds, Overload.LimitLongestHighPower.TotalMilliseconds));
        Assert.Equal(0.75, Overload.ErrorDelayShortest.TotalSeconds);
        Assert.Equal(Overload.CutShortest, PeakPower.Longest);
        Assert.Equal(0.5, Overload.PolicingStep.Watts);
    }
}
