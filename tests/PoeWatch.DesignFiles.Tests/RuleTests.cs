namespace PoeWatch.DesignFiles.Tests;

/// <summary>
/// Each rule that needs more than one value. A single fault goes into a valid design: exactly one error comes out, with its code and at the
/// place where the text after the arrow starts.
/// </summary>
public sealed class RuleTests
{
    /// <summary>Name, text to find, what replaces it, code, and the offending value at which the problem must stand.</summary>
    public static TheoryData<string, string, string, string> References => new()
    {
        { "unknown-load-case", "demands-w: {frost: 12}", "demands-w: {frots: 12}", "frots: 12" },
        { "unknown-device-type", "cam-3, type: camera", "cam-3, type: kamera", "kamera}" },
        { "unknown-pole", "cam-2, type: camera, pole: mast", "cam-2, type: camera, pole: mist", "mist}" },
        { "unknown-element", "to: cam-3", "to: cam-33", "cam-33" },
        { "unknown-element", "from: west:2,", "from: wets:2,", "wets:2" },
        { "unknown-switch", "feeds: [west]", "feeds: [wset]", "wset]" },
        { "unknown-switch", "{switch: west, medium", "{switch: wast, medium", "wast, medium" },
        { "unknown-port", "data-side: east:1/1", "data-side: easy:1/1", "easy:1/1" },
        { "unknown-port", "ports: [west:2]", "ports: [cam-3:2]", "cam-3:2" },
        { "unknown-group", "from: west:2,", "from: west:2/2,", "west:2/2" },
        { "unknown-time-zone", "time-zone: UTC", "time-zone: Skerry/Haven", "Skerry/Haven" },
        { "unknown-word", "medium: fibre, length-m: 1200", "medium: fiber, length-m: 1200", "fiber" },
        { "malformed-port", "from: west:2,", "from: west,", "west, to: cam-3" },
        { "malformed-port", "from: ext:2,", "from: ext,", "ext, to" },
        { "output-beyond-count", "from: west:2,", "from: west:1/25,", "west:1/25" },
        { "output-beyond-count", "from: ext:2,", "from: ext:3,", "ext:3" },
        { "output-beyond-count", "from: inj,", "from: inj:2,", "inj:2" },
        { "output-beyond-count", "port: 1/3,", "port: 1/30,", "1/30" },
        { "no-output", "from: west:2, to: cam-3", "from: cam-2, to: cam-3", "cam-2, to: cam-3" },
        { "takes-no-power", "- {from: west:2, to: cam-3, length-m: 50}", "- {from: west:2, to: cam-3, length-m: 50}\n  - {from: west:9, to: mast, length-m: 5}", "mast, length-m: 5" },
        { "takes-no-power", "- {from: west:2, to: cam-3, length-m: 50}", "- {from: west:2, to: cam-3, length-m: 50}\n  - {from: west:9, to: inj, length-m: 5}", "inj, length-m: 5" },
    };

    public static TheoryData<string, string, string, string> Structure => new()
    {
        { "duplicate-id", "- {id: cam-3,", "- {id: mast, type: camera}\n  - {id: cam-3,", "mast, type: camera}" },
        { "duplicate-id", "- {id: ptz, class", "- {id: camera, class: 2, demand-w: 3}\n  - {id: ptz, class", "camera, class: 2" },
        { "duplicate-id", "- {id: frost,", "- {id: day, hours: 01:00-02:00}\n  - {id: frost,", "day, hours: 01" },
        { "malformed-id", "- {id: cam-3,", "- {id: 'cam 4', type: camera}\n  - {id: cam-3,", "'cam 4'" },
        { "missing", "- {id: cam-3,", "- {type: camera}\n  - {id: cam-3,", "type: camera}\n  - {id: cam-3" },
        { "duplicate-group", "- {budget-w: 240}", "- {budget-w: 240}\n      - {group: 1, budget-w: 100}", "1, budget-w: 100" },
        { "duplicate-port", "- {port: 1/4, limit-w: 30", "- {port: 3, limit-w: 30}\n      - {port: 1/4, limit-w: 30", "3, limit-w: 30}" },
        { "duplicate-address", "address: 192.0.2.11\n", "address: 192.0.2.10\n", "192.0.2.10\n    pole" },
        { "malformed-address", "answers-from: [192.0.2.22]", "answers-from: ['2001:db8::22']", "'2001:db8::22'" },
        { "malformed-address", "answers-from: [192.0.2.22]", "answers-from: [192.0.2]", "192.0.2]}" },
        { "not-fed", "  - {from: west:2, to: cam-3, length-m: 50}\n", "", "cam-3, type" },
        { "fed-twice", "- {from: west:2, to: cam-3, length-m: 50}", "- {from: west:2, to: cam-3, length-m: 50}\n  - {from: west:9, to: cam-3, length-m: 5}", "cam-3, length-m: 5}" },
        { "output-used-twice", "from: west:2, to: cam-3", "from: west:1/4, to: cam-3", "west:1/4, to: ptz-1" },
        { "double-pse", "data-side: east:1/1", "data-side: west:2", "west:2, data" },
        { "segment-too-long", "medium: fibre, length-m: 1200", "medium: copper, length-m: 101.5", "101.5" },
        { "uplink-loop", "{switch: west, medium", "{switch: east, medium", "east, medium" },
        { "guard-band-too-large", "guard-band-w: 10,", "guard-band-w: 720,", "720, allocation" },
        { "too-few-supplies", "redundancy: all-needed", "redundancy: n-plus-1", "n-plus-1, own" },
        { "ups-feeds-twice", "feeds: [west]", "feeds: [west, west]", "west], usable" },
        { "floors-swapped", "{early-w: 5, early-percent: 15, late-w: 2, late-percent: 5}", "{early-w: 5, early-percent: 15, late-w: 8, late-percent: 5}", "early-w: 5, early-percent: 15, late-w: 8" },
        { "upgrade-below-limit", "{limit-w: 60, due", "{limit-w: 30, due", "30, due" },
    };

    public static TheoryData<string, string, string, string> Power => new()
    {
        { "demand-above-class", "demand-w: 45", "demand-w: 52", "52}" },
        { "port-limit-too-small", ", upgrade: {limit-w: 60, due: 2027-03-31}", "", "30}\n  - id: east" },
        { "port-limit-too-small", "upgrade: {limit-w: 60, due", "upgrade: {limit-w: 45, due", "30, upgrade" },
        { "injector-rating-exceeded", "rating-w: 95", "rating-w: 14", "14, output-v" },
        { "output-limit-exceeded", "outputs: 2, output-limit-w: 30", "outputs: 2, output-limit-w: 7", "7}" },
        { "input-limit-exceeded", "input-limit-w: 71.3, own-draw-w: 2", "input-limit-w: 13, own-draw-w: 2", "13, own-draw" },
        { "total-limit-exceeded", "total-limit-w: 58", "total-limit-w: 11", "11\n    agent" },
        { "group-budget-exceeded", "budget-w: 720, guard-band-w: 10, allocation: by-limit", "budget-w: 60, guard-band-w: 10, allocation: by-draw", "60, guard" },
        { "group-allocation-exceeded", "budget-w: 720,", "budget-w: 150,", "150, guard" },
        { "budget-above-supplies", "own-draw-w: 60", "own-draw-w: 81", "720, guard" },
        { "budget-above-supplies", "rating-w: 800", "rating-w: 500", "720, guard" },
        { "voltage-too-low", "length-m: 95, measured-loop-ohm: 15", "length-m: 95, measured-loop-ohm: 120", "95, measured" },
        { "cannot-be-fed", "length-m: 95, measured-loop-ohm: 15", "length-m: 95, measured-loop-ohm: 199", "95, measured" },
    };

    [Theory]
    [MemberData(nameof(References))]
    public void A_name_that_leads_nowhere_is_one_error_at_the_name(string code, string find, string replacement, string at) => Expect(code, find, replacement, at);

    [Theory]
    [MemberData(nameof(Structure))]
    public void A_contradiction_is_one_error_where_it_shows(string code, string find, string replacement, string at) =>
        Expect(code, find, replacement, at);

    [Theory]
    [MemberData(nameof(Power))]
    public void Power_that_is_not_there_is_one_error_at_the_figure_that_is_too_small(string code, string find, string replacement, string at) =>
        Expect(code, find, replacement, at);

    [Fact]
    public void Elements_that_feed_each_other_are_a_loop_at_the_cable_that_closes_it()
    {
        var text = Faults.Apply("{id: c-1, from: west:1/3, to: pass,", "{id: c-1, from: ext:1, to: pass,")
            .Replace("{from: inj, to: ext,", "{from: pass:3, to: ext,", StringComparison.Ordinal);

        var problem = Assert.Single(Designs.Load(text).Result.Errors);

        Assert.Equal("loop", problem.Code);
        Assert.Contains("ext > pass > ext", problem.Value + " > ext", StringComparison.Ordinal);
        Assert.Equal(LineOf(text, "{from: pass:3, to: ext"), problem.At.Line);
    }

    [Fact]
    public void Uplinks_in_a_circle_are_refused_at_each_switch_of_it()
    {
        var text = Faults.Apply("    poll-period: 30s\n", "    uplink: {switch: east, medium: fibre, length-m: 1200}\n");

        Assert.Equal(["uplink-loop", "uplink-loop"], Designs.Load(text).Result.Errors.Select(p => p.Code));
    }

    [Theory]
    [InlineData("copper-clad-aluminium", "material: copper", "material: copper-clad-aluminium", "copper-clad-aluminium")]
    [InlineData("ups-runtime-short", "wanted-runtime-min: 240", "wanted-runtime-min: 1400", "wanted-runtime-min: 1400")]
    [InlineData(
        "supply-loss-not-survived", "supplies: [{id: supply-a, rating-w: 800}], redundancy: all-needed",
        "supplies: [{id: supply-a, rating-w: 800}, {id: supply-b, rating-w: 150}], redundancy: n-plus-1", "supply-b")]
    [InlineData("channel-too-long", "data-side-length-m: 2", "data-side-length-m: 21", "data-side-length-m: 21")]
    [InlineData("class-demoted", "{id: camera, name: Camera, class: 3", "{id: camera, name: Camera, class: 6", "pass:1")]
    public void What_does_not_forbid_a_design_is_a_warning_and_the_model_stands(string code, string find, string replacement, string at) =>
        ExpectWarning(code, Faults.Apply(find, replacement), at);

    [Fact]
    public void A_run_that_works_only_at_better_volts_than_the_worst_is_a_warning()
    {
        // 25.5 W at the end of 100 m are 30 W at the PSE in the standard's worst case (TI TPS2379 data sheet, Table 2); a port set to 29 W
        // is enough over thick cable at 54 V only.
        var text = Faults.Apply("length-m: 50}", "length-m: 50}\n  - {from: west:9, to: cam-4, length-m: 100, gauge-awg: 22}")
            .Replace("- {id: cam-3,", "- {id: cam-4, type: big}\n  - {id: cam-3,", StringComparison.Ordinal)
            .Replace("- {id: ptz,", "- {id: big, class: 4, demand-w: 25.5}\n  - {id: ptz,", StringComparison.Ordinal)
            .Replace("- {port: 1/3,", "- {port: 9, limit-w: 29, type: 2, class: 4}\n      - {port: 1/3,", StringComparison.Ordinal);

        ExpectWarning("not-guaranteed", text, "west:9");
    }

    private static void ExpectWarning(string code, string text, string at)
    {
        var result = Designs.Load(text).Result;

        Assert.True(result.Model is not null, DesignProblemText.Format("site.yaml", result));
        Assert.True(result.Warnings.Any(p => p.Code == code && p.At.Line == LineOf(text, at)), DesignProblemText.Format("site.yaml", result));
        Assert.Equal(result.Warnings, result.Model.Warnings);
    }

    private static void Expect(string code, string find, string replacement, string at)
    {
        var text = Faults.Apply(find, replacement);
        var result = Designs.Load(text).Result;
        var report = DesignProblemText.Format("site.yaml", result);

        Assert.Null(result.Model);
        Assert.True(result.Errors.Count() == 1, report);
        var problem = result.Errors.Single();
        var index = text.IndexOf(at, StringComparison.Ordinal);
        Assert.True(index >= 0, at);
        var column = index - text.LastIndexOf('\n', index);
        Assert.True((problem.Code, problem.At.Line, problem.At.Column) == (code, LineOf(text, at), column), $"{LineOf(text, at)}:{column}\n{report}");
        Assert.NotEmpty(problem.Remedy);
        Assert.NotEmpty(problem.Message);
    }

    private static int LineOf(string text, string at) => text[..text.IndexOf(at, StringComparison.Ordinal)].Count(c => c == '\n') + 1;
}
