using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Poe;

/// <summary>What IEEE 802.3 asks beside the class table, against data sheets and against the circuit.</summary>
public sealed class PowerTermsTests
{
    // The rows are from memory, so they must come out of the circuit: 50 V (5D: 52 V) behind 12.5 ohm, 0.5 % of the rounded table.
    [Theory]
    [InlineData(DualSignatureClass.Class1D, 4.0, 3.84, PoeType.Type3, 0.025)]
    [InlineData(DualSignatureClass.Class2D, 6.7, 6.49, PoeType.Type3, 0.005)]
    [InlineData(DualSignatureClass.Class3D, 14.0, 13.0, PoeType.Type3, 0.005)]
    [InlineData(DualSignatureClass.Class4D, 30.0, 25.5, PoeType.Type3, 0.005)]
    [InlineData(DualSignatureClass.Class5D, 45.0, 35.6, PoeType.Type4, 0.005)]
    public void Dual_signature_rows_follow_from_the_circuit(
        DualSignatureClass poeClass, double pseWatts, double pdWatts, PoeType lowestPse, double tolerance)
    {
        var row = DualSignature.LimitsOf(poeClass);
        var type = PoeTables.LimitsOf(row.LowestPseType)!.Value;

        var atPse = LoopFlow.DrawAtSource(type.PseMinimumVoltage, type.ChannelLoopTwoPair, row.PdMaximumInput)!.Value;

        Assert.Equal((pseWatts, pdWatts, lowestPse), (row.PseMinimumOutput.Watts, row.PdMaximumInput.Watts, row.LowestPseType));
        Assert.Equal(pseWatts, atPse.Watts, tolerance * pseWatts);
        Assert.Contains("from memory", row.Source, StringComparison.Ordinal);
    }

    [Fact]
    public void Both_pairsets_of_a_dual_signature_pd_add_up()
    {
        Assert.Equal(75.0, DualSignature.PortOutput(DualSignatureClass.Class5D, DualSignatureClass.Class4D).Watts);
        Assert.Equal(71.2, DualSignature.PdInput(DualSignatureClass.Class5D, DualSignatureClass.Class5D).Watts, 1e-9);
    }

    [Theory]
    [InlineData(DualSignatureClass.Unknown)]
    [InlineData((DualSignatureClass)6)]
    public void Dual_signature_classes_end_at_5d(DualSignatureClass poeClass) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => DualSignature.LimitsOf(poeClass));

    // IEEE 802.3, from memory: tabled for classes 0 to 3, 1.11 times class 4, 1.05 times classes 5 to 8; 0.02 W.
    [Theory]
    [InlineData(PoeClass.Class0, 14.4)]
    [InlineData(PoeClass.Class1, 5.00)]
    [InlineData(PoeClass.Class2, 8.36)]
    [InlineData(PoeClass.Class3, 14.4)]
    [InlineData(PoeClass.Class4, 28.3)]
    [InlineData(PoeClass.Class5, 42.0)]
    [InlineData(PoeClass.Class6, 53.55)]
    [InlineData(PoeClass.Class7, 65.1)]
    [InlineData(PoeClass.Class8, 74.87)]
    public void Peaks_are_those_of_the_standard(PoeClass poeClass, double watts) => Assert.Equal(watts, PeakPower.Of(poeClass).Watts, 0.02);

    // IEEE 802.3cq-2020, clause 33.3.7.4 (quoted by others): at most 5 % of the time; TCUT 50 ms from memory.
    [Theory]
    [InlineData(25.5, 1000, 1000, true)]
    [InlineData(28.3, 50, 1000, true)]
    [InlineData(28.4, 50, 1000, false)]
    [InlineData(28.0, 51, 2000, false)]
    [InlineData(28.0, 50, 999, false)]
    public void Peaks_are_short_rare_and_not_too_high(double watts, int milliseconds, int periodMilliseconds, bool isAllowed) => Assert.Equal(
        isAllowed,
        PeakPower.IsAllowed(
            PoeClass.Class4, Power.FromWatts(watts), TimeSpan.FromMilliseconds(milliseconds), TimeSpan.FromMilliseconds(periodMilliseconds)));

    [Fact]
    public void A_peak_that_just_reaches_every_limit_is_allowed() => Assert.All(Enum.GetValues<PoeClass>(), poeClass => Assert.True(
        PeakPower.IsAllowed(poeClass, PeakPower.Of(poeClass), TimeSpan.FromMilliseconds(50), TimeSpan.FromSeconds(1))));

    [Fact]
    public void Peaks_need_a_period() => Assert.Throws<ArgumentOutOfRangeException>(
        () => PeakPower.IsAllowed(PoeClass.Class4, Power.Zero, TimeSpan.Zero, TimeSpan.Zero));

    // TI TPS2373 data sheet, maintain power signature: 10 mA for 75 ms in every 325 ms; a tenth of the pulse for Types 3 and 4; 16 mA for classes 5 to 8.
    // PSE: 60 ms in 300 to 400 ms (TI TPS23880), 6 ms in 320 to 400 ms (TI TPS23882).
    [Theory]
    [InlineData(PoeType.Type1, PoeClass.Class3, 0.010, 75, 60, 300)]
    [InlineData(PoeType.Type2, PoeClass.Class4, 0.010, 75, 60, 300)]
    [InlineData(PoeType.Unknown, PoeClass.Class4, 0.010, 75, 60, 300)]
    [InlineData(PoeType.Type3, PoeClass.Class4, 0.010, 7.5, 6, 320)]
    [InlineData(PoeType.Type4, PoeClass.Class5, 0.016, 7.5, 6, 320)]
    public void Signature_that_keeps_power_on_is_that_of_the_data_sheets(
        PoeType pse, PoeClass requested, double amperes, double pdPulse, double psePulse, double dropOut)
    {
        var mps = MaintainPowerSignature.For(pse, requested);

        Assert.Equal((amperes, pdPulse, 325.0), (mps.Draw.Amperes, mps.PdPulse.TotalMilliseconds, mps.PdPeriod.TotalMilliseconds));
        Assert.Equal(
            (psePulse, dropOut, 400.0),
            (mps.PsePulse.TotalMilliseconds, mps.PseDropOutShortest.TotalMilliseconds, mps.PseDropOutLongest.TotalMilliseconds));
        Assert.NotEmpty(mps.Source);

        // It must close: a PD that just holds to its pulses is never dropped by a PSE that just holds to its own.
        Assert.True(mps.PdPulse > mps.PsePulse && mps.PdPeriod - mps.PdPulse < mps.PseDropOutShortest);
    }

    // 10 mA at 50 V: half a watt; in pulses of 75 ms in 325 ms 0.115 W.
    [Fact]
    public void A_port_below_half_a_watt_may_lose_power()
    {
        var mps = MaintainPowerSignature.For(PoeType.Type2, PoeClass.Class3);

        Assert.Equal(0.5, mps.LeastEvenDraw(Voltage.FromVolts(50)).Watts, 1e-9);
        Assert.Equal(0.5 * 75 / 325, mps.LeastAverageDraw(Voltage.FromVolts(50)).Watts, 1e-9);
    }

    // IEEE 802.3, from memory: 400 to 450 mA for 50 to 75 ms. Maniktala, PoE Interoperability Guide, chapter 5: 75 ms, and 80 ms for a Type 2 PD.
    [Fact]
    public void Inrush_of_a_pairset_is_24_watts_at_54_volts()
    {
        var pse = Voltage.FromVolts(54);

        Assert.Equal(24.3, Inrush.WorstAtPse(PoeClass.Class4, pse).Watts, 1e-9);
        Assert.Equal(48.6, Inrush.WorstAtPse(PoeClass.Class5, pse).Watts, 1e-9);
        Assert.Equal(194.4, Inrush.WorstTogether(PoeClass.Class3, pse, atOnce: 8).Watts, 1e-9);
        Assert.Equal(Power.Zero, Inrush.WorstTogether(PoeClass.Class3, pse, atOnce: 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Inrush.WorstTogether(PoeClass.Class3, pse, atOnce: -1));
        Assert.Equal((0.400, 0.450, 0.900), (Inrush.PseLimitLowest.Amperes, Inrush.PseLimitHighest.Amperes, Inrush.PseLimitHighestFourPair.Amperes));
        Assert.Equal(
            (50.0, 75.0, 80.0),
            (Inrush.TimerShortest.TotalMilliseconds, Inrush.TimerLongest.TotalMilliseconds, Inrush.FullPowerNotBefore.TotalMilliseconds));
    }

    // TI TPS2372 data sheet, Autoclass: 1.35 to 3.65 s, windows of 150 to 300 ms; TI TPS23880 data sheet, register 0x54: steps of 0.5 W.
    [Fact]
    public void Autoclass_is_measured_when_the_data_sheets_say()
    {
        Assert.Equal((1.35, 3.65), (Autoclass.MeasuredFrom.TotalSeconds, Autoclass.MeasuredUntil.TotalSeconds));
        Assert.Equal((150.0, 300.0), (Autoclass.WindowShortest.TotalMilliseconds, Autoclass.WindowLongest.TotalMilliseconds));
        Assert.Equal(0.5, Autoclass.ResultStep.Watts);
    }

    [Theory]
    [InlineData(20.0, 0.0, PoeClass.Class4, 20.0)]
    [InlineData(20.1, 0.0, PoeClass.Class4, 20.5)]
    [InlineData(20.0, 4.0, PoeClass.Class4, 21.0)]
    [InlineData(3.0, 4.0, PoeClass.Class4, 3.5)]
    [InlineData(3.05, 4.0, PoeClass.Class4, 4.0)]
    [InlineData(3.05, 0.5, PoeClass.Class4, 4.0)]
    [InlineData(29.8, 4.0, PoeClass.Class4, 30.0)]
    [InlineData(50.0, 10.0, PoeClass.Class6, 55.0)]
    public void Autoclass_reserves_what_was_measured_and_a_margin(double measured, double marginPercent, PoeClass assigned, double watts) => Assert.Equal(
        watts, Autoclass.ReserveAtPse(Power.FromWatts(measured), Ratio.FromPercent(marginPercent), assigned).Watts, 1e-9);

    [Fact]
    public void Autoclass_margin_is_never_negative()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Autoclass.ReserveAtPse(Power.FromWatts(5), Ratio.FromPercent(-1), PoeClass.Class4));
        Assert.Equal(4.0, Autoclass.DefaultMargin.Percent, 1e-9);
    }

    // Unit of 0.1 W: frame-encoder documentation of power via MDI. Ceilings from memory.
    [Theory]
    [InlineData(255, 25.5)]
    [InlineData(713, 71.3)]
    [InlineData(510, 51.0)]
    [InlineData(1, 0.1)]
    [InlineData(999, 99.9)]
    public void Lldp_counts_in_tenths_of_a_watt_at_the_pd(int raw, double watts)
    {
        Assert.Equal(watts, LldpPower.AtPd(raw)!.Value.Watts, 1e-9);
        Assert.Equal(raw, LldpPower.ToRaw(Power.FromWatts(watts)));
    }

    [Theory]
    [InlineData(0, LldpPower.MostRawSingleSignature)]
    [InlineData(1000, LldpPower.MostRawSingleSignature)]
    [InlineData(256, LldpPower.MostRawTypes1And2)]
    [InlineData(500, LldpPower.MostRawDualSignature)]
    public void Lldp_values_outside_the_form_mean_nothing(int raw, int mostRaw)
    {
        Assert.Null(LldpPower.AtPd(raw, mostRaw));
        Assert.Throws<ArgumentOutOfRangeException>(() => LldpPower.ToRaw(Power.FromWatts(raw * 0.1), mostRaw));
        Assert.NotNull(LldpPower.AtPd(mostRaw, mostRaw));
    }

    // 25.5 W in 802.3at, 99.9 W in 802.3bt, 49.9 W for each mode of a dual-signature PD: from memory.
    [Theory]
    [InlineData(LldpPower.MostRawTypes1And2, 25.5)]
    [InlineData(LldpPower.MostRawSingleSignature, 99.9)]
    [InlineData(LldpPower.MostRawDualSignature, 49.9)]
    public void Lldp_forms_end_where_they_should(int mostRaw, double watts) => Assert.Equal(watts, LldpPower.AtPd(mostRaw, mostRaw)!.Value.Watts, 1e-9);

    [Fact]
    public void Lldp_request_never_asks_for_too_little() => Assert.Equal(130, LldpPower.ToRaw(Power.FromWatts(12.95)));

    // The class table from LLDP: 25.5 W at the PD are 30.0 W at a Type 2 PSE, 51 W are 60 W and 71.3 W are 90 W (Ethernet Alliance, class table); 0.1 W.
    [Theory]
    [InlineData(25.5, PoeType.Type2, 2, 30.0)]
    [InlineData(51.0, PoeType.Type3, 4, 60.0)]
    [InlineData(71.3, PoeType.Type4, 4, 90.0)]
    public void Lldp_allocation_costs_the_pse_the_loss_of_the_channel_too(double atPd, PoeType type, int pairs, double atPse) =>
        Assert.Equal(atPse, LldpPower.ReserveAtPse(Power.FromWatts(atPd), type, pairs)!.Value.Watts, 0.1);

    [Fact]
    public void Lldp_allocation_that_no_channel_carries_has_no_reserve()
    {
        Assert.Null(LldpPower.ReserveAtPse(Power.FromWatts(50.1), PoeType.Type2, pairs: 2));
        Assert.Null(LldpPower.ReserveAtPse(Power.FromWatts(10), PoeType.Unknown, pairs: 2));

        // 54 V, 8.422 ohm, 25.5 W: 27.72 W, by the circuit.
        Assert.Equal(27.72, LldpPower.ReserveAtPse(Power.FromWatts(25.5), Voltage.FromVolts(54), Resistance.FromOhms(8.422))!.Value.Watts, 0.01);
    }

    // onsemi NCP1095 board manual, p. 2: 8, 6, 4, 3.
    [Theory]
    [InlineData(PoeClass.Class8, new[] { 8, 6, 4, 3 })]
    [InlineData(PoeClass.Class7, new[] { 7, 6, 4, 3 })]
    [InlineData(PoeClass.Class6, new[] { 6, 4, 3 })]
    [InlineData(PoeClass.Class5, new[] { 5, 4, 3 })]
    [InlineData(PoeClass.Class4, new[] { 4, 3 })]
    [InlineData(PoeClass.Class3, new[] { 3 })]
    [InlineData(PoeClass.Class0, new[] { 0 })]
    public void A_pse_demotes_in_the_steps_of_its_class_events(PoeClass requested, int[] steps) =>
        Assert.Equal(steps, ClassDemotion.Steps(requested).Select(step => (int)step));

    [Theory]
    [InlineData(PoeClass.Class8, PoeType.Type4, 90.0, PoeClass.Class8)]
    [InlineData(PoeClass.Class8, PoeType.Type4, 89.9, PoeClass.Class6)]
    [InlineData(PoeClass.Class8, PoeType.Type3, 95.0, PoeClass.Class6)]
    [InlineData(PoeClass.Class8, PoeType.Type4, 59.0, PoeClass.Class4)]
    [InlineData(PoeClass.Class8, PoeType.Type2, 90.0, PoeClass.Class4)]
    [InlineData(PoeClass.Class8, PoeType.Type4, 14.0, PoeClass.Class3)]
    [InlineData(PoeClass.Class4, PoeType.Type1, 30.0, PoeClass.Class3)]
    [InlineData(PoeClass.Class4, PoeType.Type2, 15.3, null)]
    [InlineData(PoeClass.Class0, PoeType.Type1, 15.4, PoeClass.Class0)]
    [InlineData(PoeClass.Class2, PoeType.Type1, 6.9, null)]
    [InlineData(PoeClass.Class8, PoeType.Unknown, 95.0, PoeClass.Class8)]
    public void A_pse_assigns_the_highest_step_that_it_can_still_feed(PoeClass requested, PoeType type, double available, PoeClass? assigned)
    {
        var given = ClassDemotion.Assigned(requested, type, Power.FromWatts(available));

        Assert.Equal(assigned, given);
        Assert.Equal(given is { } granted && granted != requested, given is { } told && ClassDemotion.IsDemoted(requested, told));
    }
}
