using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using static PoeWatch.Domain.Tests.PowerFlow.PowerFlowSolverTests;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>Limits of cables and classes: where each stands, its numbers, whether it refuses or only warns, and what a technician reads.</summary>
public sealed class CableLimitTests
{
    // Vaden, contribution on cable heating: 15 degrees at 1 A per pair, category 6, about 100 cables. 54 V, no resistance to speak of: 60 W are 1.111 A, 0.5556 A per pair, 4.63 degrees.
    [Fact]
    public void Bundle_warms_its_conductors_above_their_surroundings()
    {
        var run = OnPort(Device("lamp", Hung(Cable(0.1, 23, celsius: 45), Bundle(100)), PoeClass.Class8));

        var limit = Only(LimitKind.CableTemperature, run, ("lamp", 60));

        Assert.Equal(45 + 4.63 + CableHeat.FitMargin, limit.Value, 0.02);
        Assert.Equal((75.0, "°C", false, false), (limit.LimitValue, limit.Unit, limit.IsBroken, limit.IsAdvice));
        Assert.Equal("Segment to-lamp to lamp would have conductors of 50.63 °C, at most 75 °C: 24.37 °C left.", limit.Sentence);
    }

    [Theory]
    [InlineData(LimitKind.PairCurrent, "A")]
    [InlineData(LimitKind.PairsetCurrent, "A")]
    [InlineData(LimitKind.SegmentLength, "m")]
    [InlineData(LimitKind.DeratedLength, "m")]
    [InlineData(LimitKind.LoopResistance, "ohm")]
    [InlineData(LimitKind.CableTemperature, "°C")]
    [InlineData(LimitKind.BundleRise, "°C")]
    public void Limits_of_a_cable_are_named_by_its_segment(LimitKind kind, string unit)
    {
        var limit = Only(kind, OnPort(Device("lamp", Hung(Cable(90, 23, celsius: 40), Bundle(100)), PoeClass.Class8)), ("lamp", 60));

        Assert.Equal(("to-lamp", unit), (limit.ElementId, limit.Unit));
    }

    [Fact]
    public void Bundle_that_gets_warmer_than_its_cable_bears_limits_the_watts()
    {
        var run = OnPort(Device("lamp", Hung(Cable(20, 23, celsius: 58), Bundle(100) with { Rating = Celsius(60) }), PoeClass.Class8));

        var extra = ExtraWattsFinder.Find(run, Demand(("lamp", 5)), "lamp", OperatingMode.Expected);

        Assert.Equal(LimitKind.CableTemperature, extra.Binding.Kind);

        // One degree is left for 15 · (I/2)², so 0.5164 A, 27.8 W at the lamp after 0.17 W of loss.
        Assert.Equal(27.7, extra.Watts.Watts + 5, 0.1);
        Assert.True(Only(LimitKind.CableTemperature, run, ("lamp", 30)).IsBroken);
    }

    [Fact]
    public void Temperature_that_nobody_stated_only_warns()
    {
        var run = OnPort(Device("lamp", Hung(Cable(20, 23, celsius: 60), Bundle(100) with { Rating = Celsius(60), IsTemperatureKnown = false }), PoeClass.Class8));

        var result = PowerFlowSolver.Solve(run, Demand(("lamp", 60)), OperatingMode.Expected);

        Assert.Empty(result.Broken);
        Assert.Equal(LimitKind.CableTemperature, Assert.Single(result.Advice, l => l.Kind == LimitKind.CableTemperature).Kind);
    }

    // Fewer cables warm less: a root of the number, 1 at the 100 that were measured. Two pairs make half of the heat at the same amperes per pair.
    [Theory]
    [InlineData(100, 4, 23, 15.0 / 4)]
    [InlineData(25, 4, 23, 7.5 / 4)]
    [InlineData(1, 4, 23, 1.5 / 4)]
    [InlineData(100, 2, 23, 15.0 / 2)]
    [InlineData(100, 4, 22, 15.0 / 4)]
    [InlineData(100, 4, 26, 15.0 / 4 * 0.1339 / 0.06679)]
    public void Rise_follows_cables_pairs_and_gauge(int cables, int pairs, int awg, double degreesAtOneAmpere) =>
        Assert.Equal(degreesAtOneAmpere, CableHeat.Rise(Hung(Cable(50, awg, pairs), Bundle(cables)), Current.FromAmperes(1)), 1e-9);

    [Fact]
    public void Rise_follows_the_square_of_the_current() =>
        Assert.Equal(4 * 15.0 / 4, CableHeat.Rise(Hung(Cable(50, 23), Bundle(100)), Current.FromAmperes(2)), 1e-9);

    // 0.00393 per degree from 20 °C, annealed copper, NBS Handbook 100, from memory.
    [Theory]
    [InlineData(20, 0.14)]
    [InlineData(60, 0.14 * (1 + (0.00393 * 40)))]
    [InlineData(-20, 0.14 * (1 - (0.00393 * 40)))]
    public void Cords_are_of_copper_too(double celsius, double ohms) =>
        Assert.Equal(ohms, ChannelResistance.Warm(ChannelResistance.WorstCordPerMeter, Celsius(celsius)).Ohms, 1e-12);

    // ANSI/TIA-568.2-D, from memory.
    [Fact]
    public void Worst_contact_has_a_fifth_of_an_ohm() => Assert.Equal(0.2, ChannelResistance.WorstContact.Ohms);

    [Fact]
    public void Clad_aluminium_in_a_bundle_warms_by_its_resistance() => Assert.Equal(
        1.6 * 15.0 / 4,
        CableHeat.Rise(Hung(Cable(50, 23) with { Material = ConductorMaterial.CopperCladAluminium }, Bundle(100)), Current.FromAmperes(1)),
        1e-9);

    // TSB-184-A (trade press): at most 15 degrees. Category 6 at 0.9661 A per pair: 14 degrees and one of margin; 0.1 m are next to no ohms at 54 V.
    [Theory]
    [InlineData(104.0, false)]
    [InlineData(104.6, true)]
    public void Bundle_should_warm_by_no_more_than_15_degrees(double watts, bool isBroken)
    {
        var run = OnPort(Device("lamp", Hung(Cable(0.1, 23), Bundle(100)), PoeClass.Class8), 120);

        var limit = Only(LimitKind.BundleRise, run, ("lamp", watts));

        Assert.Equal((15.0, isBroken, true), (limit.LimitValue, limit.IsBroken, limit.IsAdvice));
        Assert.StartsWith("Segment to-lamp to lamp in its bundle would be warmer than its surroundings by 1", limit.Sentence, StringComparison.Ordinal);
    }

    // ANSI/TIA-568-C.2 Annex G, from memory: 84 m of cable at 40 °C, and 10 m of cords.
    [Theory]
    [InlineData(94, false)]
    [InlineData(94.1, true)]
    public void Warm_cable_has_less_reach_for_data(double meters, bool isBroken)
    {
        var limit = Only(LimitKind.DeratedLength, OnPort(Device("cam", Cable(meters, celsius: 40))), ("cam", 5));

        Assert.Equal((94.0, isBroken, true), (Math.Round(limit.LimitValue, 9), limit.IsBroken, limit.IsAdvice));
        Assert.StartsWith("Segment to-cam to cam, through which data reaches less far at 40 °C, has a length of 94", limit.Sentence, StringComparison.Ordinal);
    }

    // TI TPS2379 Table 2: 20 ohm of Type 1, 12.5 ohm of Type 2 over two pairs; half over four.
    [Theory]
    [InlineData(PoeType.Type1, 2, 20)]
    [InlineData(PoeType.Type2, 2, 12.5)]
    [InlineData(PoeType.Type3, 4, 6.25)]
    [InlineData(PoeType.Type4, 4, 6.25)]
    [InlineData(PoeType.Unknown, 4, 6.25)]
    public void Loop_above_the_channel_of_its_type_is_a_warning(PoeType type, int pairs, double ohms)
    {
        var within = Only(LimitKind.LoopResistance, OnPort(Device("cam", Loop(ohms, pairs)), type: type), ("cam", 1));
        var beyond = Only(LimitKind.LoopResistance, OnPort(Device("cam", Loop(ohms + 0.01, pairs)), type: type), ("cam", 1));

        Assert.Equal((ohms, false, true), (within.LimitValue, within.IsBroken, beyond.IsBroken));
        Assert.True(within.IsAdvice);
        Assert.Equal("ohm", within.Unit);
    }

    // Working figure of IEEE 802.3 4PPoE mail msg00418: 7 %. Class 8 behind the worst channel is 1.7315 A (class equation): 0.926 A on one pairset, of 0.96 A.
    [Fact]
    public void Fuller_pairset_carries_more_than_half()
    {
        var cable = Cable(100) with { Installation = CableInstallation.Plain with { PairUnbalance = Ratio.FromPercent(7) } };
        var run = OnPort(Device("lamp", cable, PoeClass.Class8));

        var limit = PowerFlowSolver.Solve(run, Demand(("lamp", 71.3)), OperatingMode.Guaranteed).Limits.Single(l => l.Kind == LimitKind.PairsetCurrent);

        Assert.Equal(0.926, limit.Value, 0.005 * 0.926);
        Assert.Equal((0.96, false), (limit.LimitValue, limit.IsBroken));
        Assert.Equal("Segment to-lamp to lamp on the fuller of its two pairsets would carry 0.93 A, at most 0.96 A: 0.03 A left.", limit.Sentence);
    }

    // Class 6 draws 1.2 A in all at the worst; 7 % put 0.642 A on one pairset, more than half of 1.2 A, less than the 0.682 A of class 6 with unbalance (from memory).
    [Fact]
    public void Type_3_has_room_for_the_unbalance_of_class_6()
    {
        var cable = Loop(6.25) with { Installation = CableInstallation.Plain with { PairUnbalance = Ratio.FromPercent(7) } };
        var run = OnPort(Device("ptz", cable, PoeClass.Class6), 60, PoeType.Type3, volts: 50);

        var limit = Only(LimitKind.PairsetCurrent, run, ("ptz", 51));

        Assert.Equal(0.642, limit.Value, 0.001);
        Assert.Equal((0.682, false), (limit.LimitValue, limit.IsBroken));
    }

    [Theory]
    [InlineData(PoeType.Type3, "pairset current with unbalance")]
    [InlineData(PoeType.Type4, "Tables 145-1 and 145-16")]
    public void Pairset_limit_names_its_source(PoeType type, string named) =>
        Assert.Contains(named, Only(LimitKind.PairsetCurrent, OnPort(Device("lamp", Cable(50)), 60, type), ("lamp", 20)).Source, StringComparison.OrdinalIgnoreCase);

    [Fact]
    public void Design_may_know_the_pairset_better_than_the_type()
    {
        var cable = Cable(50) with { Installation = CableInstallation.Plain with { PairsetLimit = Current.FromAmperes(0.5) } };

        Assert.Equal(0.5, Only(LimitKind.PairsetCurrent, OnPort(Device("lamp", cable, PoeClass.Class8)), ("lamp", 60)).LimitValue);
    }

    [Fact]
    public void Two_pairs_have_one_pairset() =>
        Assert.DoesNotContain(
            PowerFlowSolver.Solve(OnPort(Device("cam", Cable(50, pairs: 2))), Demand(("cam", 5)), OperatingMode.Expected).Limits,
            limit => limit.Kind == LimitKind.PairsetCurrent);

    // Class table of IEEE 802.3 (Ethernet Alliance overview); demotion 8, 6, 4, 3: onsemi NCP1095 board manual, p. 2. A 30 W port has class 4.
    [Theory]
    [InlineData(90, PoeClass.Class8, 71.3)]
    [InlineData(75, PoeClass.Class8, 51.0)]
    [InlineData(60, PoeClass.Class8, 51.0)]
    [InlineData(45, PoeClass.Class6, 25.5)]
    [InlineData(30, PoeClass.Class6, 25.5)]
    [InlineData(30, PoeClass.Class4, 25.5)]
    [InlineData(15.4, PoeClass.Class4, 13.0)]
    public void Device_may_take_what_the_class_it_is_demoted_to_has(double limitWatts, PoeClass requested, double watts)
    {
        var run = OnPort(Device("pd", Loop(0), requested), limitWatts, PoeType.Type4);

        Assert.Equal(watts, Only(LimitKind.GrantableClass, run, ("pd", 5)).LimitValue);
    }

    [Fact]
    public void Class_that_is_not_granted_is_told_with_both_classes()
    {
        var limit = Only(LimitKind.GrantableClass, OnPort(Device("ptz", Loop(0), PoeClass.Class6), 30, PoeType.Type2), ("ptz", 28));

        Assert.Equal("Device ptz asks for class 6, quay-west:1/7 grants up to class 4: it would take 28 W, at most 25.5 W: 2.5 W too much.", limit.Sentence);
        Assert.True(limit.IsBroken);
    }

    [Theory]
    [InlineData(LimitKind.PdClass, true)]
    [InlineData(LimitKind.GrantableClass, true)]
    [InlineData(LimitKind.ExtendedPower, true)]
    [InlineData(LimitKind.PdVoltage, false)]
    [InlineData(LimitKind.PsePort, false)]
    public void Class_of_a_device_says_nothing_of_a_load_beside_it(LimitKind kind, bool isOfDevice) => Assert.Equal(isOfDevice, PdLimits.IsOfDevice(kind));

    // A port may be set to grant less than its watts allow.
    [Fact]
    public void Class_that_the_design_grants_counts_before_the_watts()
    {
        var run = OnPort(Device("cam", Loop(0), PoeClass.Class4), 30, PoeType.Type2);
        run = run with { Source = run.Source with { GrantableClass = PoeClass.Class3 } };

        Assert.Equal(12.95, Only(LimitKind.GrantableClass, run, ("cam", 5)).LimitValue);
    }

    // Class 4 at the extender is 25.5 W at most; less 2 W, 23.5 W are left: class 3 (15.4 W), not class 4 (30 W).
    [Fact]
    public void Extender_can_hand_on_less_than_it_is_granted()
    {
        var run = OnPort(Extender("ext", Loop(0), [Device("cam", Loop(0), PoeClass.Class4)], ownWatts: 2, outputWatts: 30), 30, PoeType.Type2);

        var limit = Only(LimitKind.PassedOnClass, run, ("cam", 20));

        Assert.Equal((12.95, true, true), (limit.LimitValue, limit.IsBroken, limit.IsAdvice));
        Assert.Equal(
            "Device cam asks for class 4, what ext is granted itself lets it hand on class 3: the device would take 20 W, at most 12.95 W: 7.05 W too much.",
            limit.Sentence);
    }

    [Fact]
    public void Class_wears_away_along_a_chain()
    {
        var run = OnPort(
            PassThrough("pts", Loop(0), [Extender("ext", Loop(0), [Device("cam", Loop(0), PoeClass.Class4)], ownWatts: 2, outputWatts: 30)], efficiency: 0.9, ownWatts: 6));

        // 71.3 W at the switch: (71.3 - 6) · 0.9 = 58.77 W, an output of 30 W hands on class 4; 25.5 - 2 W are left behind the extender: class 3.
        Assert.Equal(12.95, Only(LimitKind.PassedOnClass, run, ("cam", 5)).LimitValue);
    }

    [Fact]
    public void Even_a_bundle_of_one_cable_is_told_where_data_reaches_less_far() => Assert.StartsWith(
        "Segment to-cam to cam, through which data reaches less far at 40 °C and its bundle's heat, has a length of 80 m",
        Only(LimitKind.DeratedLength, OnPort(Device("cam", Hung(Cable(80, 23, celsius: 40), Bundle(1)))), ("cam", 5)).Sentence,
        StringComparison.Ordinal);

    // 51 W of class 6 less 20 W, a tenth lost in the converter: 27.9 W are left, class 4 asks for 30 W.
    [Fact]
    public void Converter_wears_the_class_away()
    {
        var run = OnPort(
            PassThrough("pts", Loop(0), [Device("cam", Loop(0), PoeClass.Class4)], efficiency: 0.9, ownWatts: 20, outputWatts: 60), 60, PoeType.Type3);

        Assert.Contains("lets it hand on class 3:", Only(LimitKind.PassedOnClass, run, ("cam", 5)).Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(1, true)]
    public void Heat_of_a_bundle_is_a_source_only_where_there_is_one(int cables, bool isNamed)
    {
        var run = OnPort(Device("lamp", Hung(Cable(90, 23), Bundle(cables)), PoeClass.Class8));

        Assert.Equal(isNamed, Only(LimitKind.CableTemperature, run, ("lamp", 60)).Source.Contains("bundles", StringComparison.Ordinal));
    }

    // onsemi NCP1095 board manual, p. 2: a class 8 PD takes more than 71.3 W where it knows its channel and the PSE stays at 90 W; 52 V, 90 W at the PSE.
    [Theory]
    [InlineData(6.25, 71.28)]
    [InlineData(3.34, 79.99)]
    [InlineData(1.67, 85.00)]
    public void Device_that_knows_its_channel_takes_what_90_w_leave(double ohms, double watts)
    {
        var run = Extended(OnPort(Device("lamp", Loop(ohms), PoeClass.Class8), 90, PoeType.Type4, volts: 52));

        Assert.False(Only(LimitKind.ExtendedPower, run, ("lamp", watts * 0.999)).IsBroken);
        Assert.True(Only(LimitKind.ExtendedPower, run, ("lamp", watts * 1.001)).IsBroken);
        Assert.DoesNotContain(PowerFlowSolver.Solve(run, Demand(("lamp", 60)), OperatingMode.Expected).Limits, l => l.Kind == LimitKind.PdClass);
    }

    [Theory]
    [InlineData(60, PoeType.Type3)]
    [InlineData(75, PoeType.Type4)]
    public void Extended_power_needs_the_class_granted(double limitWatts, PoeType type)
    {
        var run = Extended(OnPort(Device("lamp", Loop(1), PoeClass.Class8), limitWatts, type));

        Assert.Equal(71.3, Only(LimitKind.PdClass, run, ("lamp", 5)).LimitValue);
    }

    [Fact]
    public void Outputs_in_use_are_counted()
    {
        var run = OnPort(Extender("ext", Loop(0), [Device("a", Loop(0)), Device("b", Loop(0)), Device("c", Loop(0))]));

        var limit = Only(LimitKind.OutputCount, run);

        Assert.Equal((2.0, 3.0, true), (limit.LimitValue, limit.Value, limit.IsBroken));
        Assert.Equal("Extender ext would feed 3 outputs, at most 2 outputs: 1 outputs too much.", limit.Sentence);
    }

    [Fact]
    public void Cords_count_towards_100_m() =>
        Assert.True(Only(
            LimitKind.SegmentLength,
            OnPort(Device("cam", Cable(92) with { Installation = CableInstallation.Plain with { Cords = Length.FromMeters(9) } })),
            ("cam", 5)).IsBroken);

    private static Temperature Celsius(double value) => Temperature.FromCelsius(value);

    private static CableInstallation Bundle(int cables) => CableInstallation.Plain with
    {
        BundledCables = cables,
        BundleCategory = BundledCable.Category6,
        Rating = Celsius(75),
        IsTemperatureKnown = true,
    };

    private static CableSegment Hung(CableSegment cable, CableInstallation installation) => cable with { Installation = installation };

    private static CableRun Extended(CableRun run) => run with
    {
        Root = run.Root with { DeviceType = run.Root.DeviceType! with { TakesExtendedPower = true } },
    };

    private static LimitMargin Only(LimitKind kind, CableRun run, params (string Id, double Watts)[] watts) =>
        PowerFlowSolver.Solve(run, Demand(watts), OperatingMode.Expected).Limits.Single(limit => limit.Kind == kind);
}
