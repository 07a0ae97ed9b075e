using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The section 'maintenance' of a design. Clock changes of Europe/Berlin: Directive 2000/84/EC, 25 October 2026 and 28 March 2027.</summary>
public sealed class MaintenanceKeyTests
{
    private const string Base = """
        format: poewatch-design/1
        site: {time-zone: Europe/Berlin}
        device-types: [{id: camera, class: 3, demand-w: 9}]
        poles: [{id: quay-03}]
        devices: [{id: cam, type: camera, pole: quay-03}]
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 370, port-count: 8}]}
        injectors:
          - {id: inj, rating-w: 60, agent: {address: 192.0.2.12}, agent-port: 1/1}
        cables: [{from: quay:3, to: cam, length-m: 40}]
        maintenance:

        """;

    [Theory]
    [InlineData("2026-12-01 08:00", "2026-12-01T07:00:00Z")]
    [InlineData("2026-07-01T08:00", "2026-07-01T06:00:00Z")]
    [InlineData("\"2026-12-01T08:00:30Z\"", "2026-12-01T08:00:30Z")]
    [InlineData("\"2026-12-01T08:00+03:00\"", "2026-12-01T05:00:00Z")]
    public void Times_are_those_of_the_site_unless_they_carry_an_offset(string written, string utc)
    {
        var work = Assert.Single(Load($"  - {{id: gland, scope: pole/quay-03, from: {written}, to: 2026-12-02 08:00, who: Mira, reason: New gland}}", isWarm: written.Contains("-07-", StringComparison.Ordinal)));
        Assert.Equal(DateTimeOffset.Parse(utc, System.Globalization.CultureInfo.InvariantCulture), work.From);
        Assert.Equal(("gland", "pole/quay-03", "Mira", "New gland", TimeSpan.Zero), (work.Id, work.Scope, work.Who, work.Reason, work.From.Offset));
    }

    [Theory]
    [InlineData("site")]
    [InlineData("pole/quay-03")]
    [InlineData("switch/quay")]
    [InlineData("switch/inj")]
    [InlineData("run/quay:1/3")]
    [InlineData("port/quay:1/3")]
    [InlineData("port/quay:8")]
    [InlineData("port/inj:1/1")]
    public void Every_place_that_is_taken_is_one_that_covers_something(string scope)
    {
        var design = Designs.Load(Base + Line(scope)).Result;
        Assert.True(design.Model is not null, string.Join("; ", design.Problems.Select(p => $"{p.Code} {p.Message}")));
        Assert.NotNull(MaintenanceScope.Of(design.Model.Maintenance[0].Scope, design.Model));
        Assert.Equal("the design", design.Model.Maintenance[0].Who);
    }

    [Theory]
    [InlineData("quay-03", "unknown-place", "names no place", "pole/ID")]
    [InlineData("cabinet/quay", "unknown-place", "names no place", "run/quay-west:1/7")]
    [InlineData("pole/quay-30", "unknown-place", "There is no pole 'quay-30'", "Did you mean 'quay-03'?")]
    [InlineData("switch/kuay", "unknown-place", "There is no polled switch 'kuay'", "Did you mean 'quay'?")]
    [InlineData("run/quay:3", "unknown-place", "There is no cable run 'quay:3'", "Did you mean 'quay:1/3'?")]
    [InlineData("port/quay:9", "port-beyond-count", "", "")]
    [InlineData("port/quay", "malformed-port", "does not name a port", "quay:1/7")]
    [InlineData("port/cam:1", "unknown-port", "'scope' names no switch port", "switch:group/port")]
    public void A_place_that_is_not_there_is_told_with_what_to_write(string scope, string code, string message, string remedy)
    {
        var problem = Designs.Only(Base + Line(scope));
        Assert.Equal((ProblemKind.Error, 12), (problem.Kind, problem.At.Line));
        Assert.Contains(message, problem.Message, StringComparison.Ordinal);
        Assert.Contains(remedy, problem.Remedy, StringComparison.Ordinal);
        if (code != "port-beyond-count")
        {
            Assert.Equal(code, problem.Code);
        }
    }

    [Theory]
    [InlineData("tomorrow", "2026-12-01 12:00", "malformed-time", "'from' is no time")]
    [InlineData("2026-12-01", "2026-12-01 12:00", "malformed-time", "'from' is no time")]
    [InlineData("2026-10-25 02:30", "2026-10-25 12:00", "malformed-time", "shows 'from' twice")]
    [InlineData("2027-03-28 02:30", "2027-03-28 12:00", "malformed-time", "shows 'from' never")]
    [InlineData("2026-12-01 08:00", "2026-12-01 08:00", "window-ends-before-it-begins", "'to' is not later than 'from'")]
    [InlineData("2026-12-01 08:00", "2026-12-15 08:01", "window-too-long", "longer than 14 days")]
    public void Times_that_make_no_window_are_told_with_place_value_and_remedy(string from, string to, string code, string message)
    {
        var problem = Designs.Only($"{Base}  - {{id: gland, scope: site, from: {from}, to: {to}, reason: New gland}}");
        Assert.Equal((code, 12, "gland"), (problem.Code, problem.At.Line, problem.Element));
        Assert.Contains(problem.Value, new[] { from, to });
        Assert.Contains(message, problem.Message, StringComparison.Ordinal);
        Assert.NotEmpty(problem.Remedy);
    }

    [Fact]
    public void A_window_needs_id_place_times_and_reason_and_an_id_of_its_own()
    {
        var missing = Designs.Check(Base + "  - {who: Mira}").Select(p => p.Message);
        Assert.Equal(["'from' is missing.", "'id' of this maintenance window is missing.", "'reason' is missing.", "'scope' is missing.", "'to' is missing."], missing.Order(StringComparer.Ordinal));
        Assert.Equal("duplicate-id", Designs.Only(Base + Line("site") + "\n" + Line("site")).Code);
    }

    private static string Line(string scope) => $"  - {{id: gland, scope: \"{scope}\", from: 2026-12-01 08:00, to: 2026-12-01 12:00, reason: New gland}}";

    private static IReadOnlyList<PlannedWork> Load(string line, bool isWarm)
    {
        var result = Designs.Load(Base + (isWarm ? line.Replace("2026-12-02", "2026-07-02", StringComparison.Ordinal) : line)).Result;
        Assert.True(result.Model is not null, string.Join("; ", result.Problems.Select(p => $"{p.Code} {p.Message} {p.Remedy}")));
        return result.Model.Maintenance;
    }
}
