using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>Published figures of cables, from the text of a design file through loader and solver to volts, ohms and degrees.</summary>
public sealed class CableDesignTests
{
    // Wire table of Floyd at HyperPhysics: 100 m at 20 °C, over two and four pairs.
    [Theory]
    [InlineData(22, 2, 5.296)]
    [InlineData(23, 4, 3.340)]
    [InlineData(24, 2, 8.422)]
    [InlineData(24, 4, 4.211)]
    [InlineData(26, 2, 13.39)]
    public void Gauge_and_pairs_give_the_loop_of_the_wire_table(int gauge, int pairs, double ohms) =>
        Near(ohms, Loop(FormattableString.Invariant($"length-m: 100, gauge-awg: {gauge}, pairs: {pairs}, conductor-c: 20")), 0.001);

    // 0.00393 per degree: 24 AWG 97.46 ohm/km at 60 °C and 70.98 at -20 °C, 23 AWG 72.04 at 40 °C. ISO/IEC 11801 and wire table.
    [Theory]
    [InlineData("gauge-awg: 24, conductor-c: 60", 9.746)]
    [InlineData("gauge-awg: 24", 9.746)]
    [InlineData("gauge-awg: 24, sun-heated: yes", 9.746)]
    [InlineData("gauge-awg: 24, ambient-c: -20", 7.098)]
    [InlineData("gauge-awg: 23, ambient-c: 40", 7.204)]
    [InlineData("gauge-awg: 24, ambient-c: 40, sun-heated: yes", 9.746)]
    [InlineData("gauge-awg: 24, ambient-c: 70, sun-heated: yes", 10.077)]
    public void Warmth_raises_the_loop(string keys, double ohms) => Near(ohms, Loop("length-m: 100, pairs: 2, " + keys), 0.001);

    // 26 AWG: a tester reads 26.78 ohm at 20 °C (wire table), more than 25 (ISO/IEC 11801 class D, from memory): 13.39 of 12.5 ohm over two pairs.
    [Fact]
    public void A_hundred_metres_of_26_awg_are_a_loop_above_the_standard()
    {
        var problem = Designs.Only(Text("length-m: 100, gauge-awg: 26, pairs: 2, conductor-c: 20", demand: 4));

        Assert.Equal((ProblemKind.Warning, "loop-above-standard"), (problem.Kind, problem.Code));
        Assert.Contains("has a loop of 13.39 ohm, at most 12.5 ohm: 0.89 ohm too much", problem.Message, StringComparison.Ordinal);
    }

    // ANSI/TIA-568.2-D, from memory: 90 m at 9.38 and 10 m at 14 ohm per 100 m, four contacts of 0.2 ohm: 10.64 ohm at 20 °C, where a tester reads 21.284 ohm of one pair; 12.19 ohm with
    // cable and cords at 60 °C, 11.97 with the cords at 20 °C. All under 12.5 ohm.
    [Theory]
    [InlineData("conductor-c: 20", 10.64)]
    [InlineData("measured-at-c: 20, contacts: 4, conductor-c: 60", 12.19)]
    [InlineData("measured-at-c: 20, contacts: 4, cord-loop-ohm: 2.8, conductor-c: 60", 11.97)]
    public void Worst_channel_stays_under_the_loop_of_the_standard(string keys, double ohms)
    {
        Near(ohms, Loop("length-m: 90, pairs: 2, measured-loop-ohm: 21.284, " + keys), 0.0005);
        Near(ohms / 2, Loop("length-m: 90, pairs: 4, measured-loop-ohm: 21.284, " + keys), 0.0005);
    }

    // The worst cord is 14 ohm per 100 m (ANSI/TIA-568.2-D, from memory); 26 AWG 13.39 (wire table); they are as warm as the cable where nothing else is said.
    [Theory]
    [InlineData("cord-length-m: 10, conductor-c: 20", 1.4)]
    [InlineData("cord-length-m: 10, conductor-c: 60", 1.620)]
    [InlineData("cord-length-m: 10, conductor-c: 60, cord-c: 20", 1.4)]
    [InlineData("cord-length-m: 10, conductor-c: 20, cord-gauge-awg: 26", 1.339)]
    [InlineData("cord-length-m: 10, conductor-c: 60, cord-loop-ohm: 3", 1.5)]
    [InlineData("contacts: 4", 0.8)]
    [InlineData("contacts: 3, contact-ohm: 0.05", 0.15)]
    public void Cords_and_contacts_come_on_top(string keys, double more)
    {
        var warmth = keys.Contains("conductor-c: 20", StringComparison.Ordinal) ? "conductor-c: 20" : "conductor-c: 60";

        Near(more, Loop("length-m: 50, pairs: 2, " + keys) - Loop("length-m: 50, pairs: 2, " + warmth), 0.001);
    }

    // A measured loop has cords and contacts in it; copper is reckoned from the temperature of the measurement, contacts are not.
    [Theory]
    [InlineData("measured-loop-ohm: 16.84, conductor-c: 60", 8.42)]
    [InlineData("measured-loop-ohm: 16.84, contacts: 4, cord-length-m: 10, conductor-c: 60", 8.42)]
    [InlineData("measured-loop-ohm: 16.84, measured-at-c: 20, conductor-c: 60", 9.744)]
    [InlineData("measured-loop-ohm: 16.84, measured-at-c: 20, contacts: 4, conductor-c: 60", 9.618)]
    [InlineData("measured-loop-ohm: 16.84, measured-at-c: 60, conductor-c: 60", 8.42)]
    public void Measured_loop_counts_for_all_of_the_segment(string keys, double ohms) => Near(ohms, Loop("length-m: 90, pairs: 2, " + keys), 0.001);

    // Vaden, contribution on cable heating: 0.72 A per pair in bundles of about 100 warm 5e, 6 and 6A by 10.37, 7.78 and 6.22 degrees. One degree of margin is on top.
    [Theory]
    [InlineData("5e", 24, 10.37)]
    [InlineData("6", 23, 7.78)]
    [InlineData("6a", 23, 6.22)]
    public void Bundle_warms_as_published(string category, int gauge, double degrees)
    {
        // 54 V and next to no cable: 1.44 A over four pairs are 77.76 W.
        var model = Model(Text(
            FormattableString.Invariant($"length-m: 0.1, gauge-awg: {gauge}, category: {category}, pairs: 4, ambient-c: 20, bundled-cables: 100, rated-c: 75"), demand: 77.76, extended: true));

        var limit = Solve(model, OperatingMode.Expected).Limits.Single(l => l.Kind == LimitKind.CableTemperature);

        Near(degrees, limit.Value - 20 - CableHeat.FitMargin, 0.01);
    }

    // Bundle, current and resistance settle together: by hand, r = r20 (1 + 0.00393 (T + k (I/2)² - 20)).
    [Fact]
    public void Bundle_raises_the_resistance_that_its_current_meets()
    {
        var model = Model(Text("length-m: 90, gauge-awg: 24, category: 5e, pairs: 4, ambient-c: 40, bundled-cables: 100, rated-c: 75", demand: 71.3));

        var flow = Solve(model, OperatingMode.Expected);

        var point = flow.Points["pd"];
        var amperes = point.Current.Amperes;
        var ohms = 0.08422 * 90 / 2 * (1 + (0.00393 * (20 + (20 * amperes * amperes / 4))));
        Near(ohms, point.SegmentLoss.Watts / (amperes * amperes), 1e-6);
        Assert.Equal(54 - (amperes * ohms), point.Voltage.Volts, 1e-6);
        Assert.Equal(71.3, point.DrawAtInput.Watts, 1e-6);
        Assert.True(flow.DrawAtPse > Solve(Model(Text("length-m: 90, gauge-awg: 24, pairs: 4, ambient-c: 40", demand: 71.3)), OperatingMode.Expected).DrawAtPse);
    }

    // A maker of cable testers, knowledge base: 90 m become 84 m at 40 °C; ANSI/TIA-568-C.2 Annex G: 75 m at 60 °C. 10 m of cords are on top.
    [Theory]
    [InlineData("ambient-c: 40", 94)]
    [InlineData("ambient-c: 60", 85)]
    [InlineData("sun-heated: yes", 85)]
    [InlineData("ambient-c: 60, screened: yes", 93.3)]
    public void Warm_cable_has_less_reach(string keys, double meters)
    {
        var limit = Solve(Model(Text("length-m: 60, " + keys, demand: 5)), OperatingMode.Expected).Limits.Single(l => l.Kind == LimitKind.DeratedLength);

        Assert.Equal(meters, limit.LimitValue, 1.0);
    }

    [Fact]
    public void Reach_is_warned_of_where_the_design_says_how_warm_it_is()
    {
        Assert.Equal("length-derated", Designs.Only(Text("length-m: 90, sun-heated: yes, gauge-awg: 23", demand: 5)).Code);
        Assert.Empty(Designs.Check(Text("length-m: 90, gauge-awg: 23", demand: 5)));
    }

    // BS 7671:2018+A4:2026, section 716: at most 0.75 A per conductor; NEC 2020 table 725.144: 0.5 A. Class 8 behind the worst channel: 0.433 A.
    [Fact]
    public void Class_8_loads_each_conductor_within_both_codes()
    {
        var point = Solve(Model(Text("length-m: 100, gauge-awg: 23, pairs: 4", demand: 71.3)), OperatingMode.Guaranteed).Points["pd"];

        var perConductor = PairUnbalance.PerConductor(point.Current, pairs: 4);
        Near(0.433, perConductor.Amperes, 0.01);
        Assert.True(perConductor < PairUnbalance.ConductorLimitBs7671 && perConductor < PairUnbalance.ConductorLimitNec);
    }

    // UK training text: 0.6 A per conductor in category 6 at 0.0938 ohm/m make about 0.27 W a metre. The same from the loss of a solved segment of 24 AWG, by its own ohms.
    [Fact]
    public void Loss_of_a_metre_is_the_heat_of_eight_conductors()
    {
        var point = Solve(Model(Text("length-m: 80, gauge-awg: 24, pairs: 4, conductor-c: 20", demand: 71.3)), OperatingMode.Expected).Points["pd"];

        var perMeter = CableHeat.PerMeter(PairUnbalance.PerConductor(point.Current, 4), Resistance.FromOhms(0.08422));
        Near(perMeter.Watts, point.SegmentLoss.Watts / 80, 1e-9);
        Near(0.2701, CableHeat.PerMeter(Current.FromAmperes(0.6), Resistance.FromOhms(0.0938)).Watts, 0.01);
    }

    // IEEE 802.3 4PPoE mail msg00418: 7 % between pairsets. 1.7315 A of class 8 (class equation): 0.926 A.
    [Fact]
    public void Unbalance_loads_the_fuller_pairset()
    {
        var flow = Solve(Model(Text("length-m: 100, gauge-awg: 23, pairs: 4, pair-unbalance-percent: 7", demand: 71.3)), OperatingMode.Guaranteed);

        Near(0.926, flow.Limits.Single(l => l.Kind == LimitKind.PairsetCurrent).Value, 0.005);
    }

    // onsemi NCP1095 board manual, p. 2: a class 8 device with 90 W at the PSE; 100 m of 23 AWG over four pairs are 3.34 ohm (wire table): 80 W at 52 V, more at 54 V.
    [Fact]
    public void Extended_power_is_held_to_90_w_at_the_port()
    {
        Assert.Empty(Designs.Check(Text("length-m: 100, gauge-awg: 23, pairs: 4, conductor-c: 20", demand: 80, extended: true)).Where(p => p.Code != "length-derated" && p.Code != "not-guaranteed"));
        Assert.Equal("demand-above-class", Designs.Only(Text("length-m: 100, gauge-awg: 23, pairs: 4, conductor-c: 20", demand: 80)).Code);
        Assert.Contains(
            Designs.Check(Text("length-m: 100, gauge-awg: 23, pairs: 4, conductor-c: 20", demand: 85, extended: true)),
            p => p is { Kind: ProblemKind.Error, Code: "port-limit-too-small" or "demand-above-class" });
    }

    [Fact]
    public void Defaults_count_for_every_cable_that_does_not_say_otherwise()
    {
        var model = Model("cable-defaults: {gauge-awg: 23, ambient-c: 35, contacts: 4, contact-ohm: 0.1, bundled-cables: 12, category: 6, rated-c: 75, pair-unbalance-percent: 7}\n"
            + Text("length-m: 50, contacts: 2", demand: 5));
        var cable = model.CableRuns.Values.Single().Root.Incoming;

        Assert.Equal((23, "6", 35.0), (cable.GaugeAwg, cable.Category, cable.Conductor.Celsius));
        Assert.Equal(
            (2, 0.1, 12, BundledCable.Category6, 75.0, 7.0),
            (cable.Installation.Contacts, cable.Installation.PerContact.Ohms, cable.Installation.BundledCables, cable.Installation.BundleCategory,
                cable.Installation.Rating.Celsius, Math.Round(cable.Installation.PairUnbalance.Percent, 9)));
    }

    [Theory]
    [InlineData("conductor-c: 50", "ambient-c: 30", 30)]
    [InlineData("conductor-c: 50", "sun-heated: yes", 60)]
    [InlineData("ambient-c: 30", "conductor-c: 50", 50)]
    [InlineData("ambient-c: 30", "sun-heated: yes", 60)]
    [InlineData("sun-heated: yes", "ambient-c: 30", 60)]
    [InlineData("sun-heated: yes", "ambient-c: 30, sun-heated: no", 30)]
    public void What_a_cable_says_of_its_warmth_goes_before_the_defaults(string defaults, string cable, double celsius) =>
        Assert.Equal(celsius, Model($"cable-defaults: {{{defaults}}}\n" + Text("length-m: 50, " + cable, demand: 5)).CableRuns.Values.Single().Root.Incoming.Conductor.Celsius);

    [Theory]
    [InlineData("length-m: 50, conductor-c: 50, ambient-c: 30", "temperature-twice", ProblemKind.Error)]
    [InlineData("length-m: 50, conductor-c: 50, sun-heated: yes", "temperature-twice", ProblemKind.Error)]
    [InlineData("length-m: 95, cord-length-m: 6, gauge-awg: 22", "segment-too-long", ProblemKind.Error)]
    [InlineData("length-m: 50, ambient-c: 30, bundled-cables: 25", "bundle-too-large", ProblemKind.Warning)]
    [InlineData("length-m: 20, conductor-c: 70, gauge-awg: 22", "cable-warmer-than-rated", ProblemKind.Warning)]
    [InlineData("length-m: 20, ambient-c: 60, gauge-awg: 22, bundled-cables: 20", "cable-too-warm", ProblemKind.Error)]
    [InlineData("length-m: 20, gauge-awg: 22, bundled-cables: 20", "cable-warmer-than-rated", ProblemKind.Warning)]
    public void Cable_that_hangs_badly_is_told_once(string cable, string code, ProblemKind kind)
    {
        var problem = Designs.Only(Text(cable, demand: 20));

        Assert.Equal((kind, code), (problem.Kind, problem.Code));
    }

    [Fact]
    public void Extended_power_belongs_to_classes_6_and_8() =>
        Assert.Equal("extended-power-of-class", Designs.Only(Text("length-m: 5", demand: 5, extended: true, poeClass: 4)).Code);

    [Fact]
    public void Fault_in_the_defaults_is_told_once_for_all_cables() =>
        Assert.Equal("cable-defaults", Designs.Only("cable-defaults: {contacts: many}\n" + Text("length-m: 50", demand: 5)).Element);

    [Fact]
    public void Csv_lists_know_the_keys_of_cables()
    {
        var text = Text("length-m: 50", demand: 5).Replace("cables:\n  - {from: quay:1, to: pd, length-m: 50}", "cables-csv: c.csv", StringComparison.Ordinal);

        var model = Designs.Load(text, ("c.csv", "from,to,length-m,contacts,bundled-cables,sun-heated,rated-c,ambient-c\r\nquay:1,pd,40,3,6,yes,75,\r\n")).Result.Model!;

        var hung = model.CableRuns.Values.Single().Root.Incoming;
        Assert.Equal((3, 6, 60.0), (hung.Installation.Contacts, hung.Installation.BundledCables, hung.Conductor.Celsius));
    }

    private static string Text(string cable, double demand, bool extended = false, int poeClass = 8) => string.Create(CultureInfo.InvariantCulture, $$"""
        format: poewatch-design/1
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 740}], ports: [{port: 1, limit-w: 90}]}
        device-types:
          - {id: kind, class: {{poeClass}}, demand-w: {{demand}}{{(extended ? ", extended-power: yes" : "")}}}
        devices:
          - {id: pd, type: kind}
        cables:
          - {from: quay:1, to: pd, {{cable}}}
        """).ReplaceLineEndings("\n");

    private static DesignModel Model(string text)
    {
        var result = Designs.Load(text).Result;
        Assert.True(result.Model is not null, DesignProblemText.Format("site.yaml", result));
        return result.Model;
    }

    /// <summary>Ohms of the only cable of a design, from what is lost in it where next to nothing flows.</summary>
    private static double Loop(string cable)
    {
        var point = Solve(Model(Text(cable, demand: 0.5)), OperatingMode.Expected).Points["pd"];
        return point.SegmentLoss.Watts / (point.Current.Amperes * point.Current.Amperes);
    }

    private static PowerFlowResult Solve(DesignModel model, OperatingMode mode) =>
        PowerFlowSolver.Solve(model.CableRuns.Values.Single(), DesignDemands.For(model, model.LoadCases.Single()), mode);

    private static void Near(double expected, double actual, double share) => Assert.Equal(expected, actual, share * expected);
}
