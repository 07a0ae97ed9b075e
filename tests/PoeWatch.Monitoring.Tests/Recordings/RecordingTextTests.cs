using System.Net;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Recordings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Tests.Recordings;

/// <summary>What is asked, and how it is written. Tags: RFC 3416 section 3, as snmpsim's own grammar adds class and number up (snmpsim 0.4.5, grammar/snmprec.py).</summary>
public sealed class RecordingTextTests
{
    public static TheoryData<SnmpValue, string> Values => new()
    {
        { SnmpValue.Integer32(-7), "2|-7" },
        { SnmpValue.Text("quay west"), "4|quay west" },
        { SnmpValue.Text(""), "4|" },
        { SnmpValue.Text("a|b"), "4x|617c62" },
        { SnmpValue.Text("two\nlines"), "4x|74776f0a6c696e6573" },
        { SnmpValue.Text(" edge"), "4x|2065646765" },
        { SnmpValue.Octets([0, 0x1b, 0xff]), "4x|001bff" },
        { SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473")), "6|1.3.6.1.4.1.32473" },
        { SnmpValue.IpAddress(IPAddress.Parse("192.0.2.1")), "64|192.0.2.1" },
        { SnmpValue.Counter32(uint.MaxValue), "65|4294967295" },
        { SnmpValue.Gauge32(5), "66|5" },
        { SnmpValue.TimeTicks(100), "67|100" },
        { SnmpValue.Opaque([0x9f]), "68x|9f" },
        { SnmpValue.Counter64(ulong.MaxValue), "70|18446744073709551615" },
    };

    [Theory]
    [MemberData(nameof(Values))]
    public void A_value_is_a_line_with_tag_and_value(SnmpValue value, string written) =>
        Assert.Equal($"1.3.6.1.1.0|{written}\n", SnmprecText.Write(new AgentRecording("", [new VarBind(Oid.Parse("1.3.6.1.1.0"), value)], []), []));

    [Fact]
    public void What_is_missing_is_a_comment_that_cannot_end_early() =>
        Assert.Equal("# two lines\n# missing: 1.3.6: the time was up\n", SnmprecText.Write(new AgentRecording("", [], [new MissingPart("1.3.6", "the time was up", true)]), ["two\nlines"]));

    [Fact]
    public void Columns_of_sheets_that_may_fit_are_asked_and_nothing_twice()
    {
        DrawSheet sheet = Sheet("1.3.6.1.4.1.32473.7.1.4", []);
        DrawSheet other = Sheet("1.3.6.1.4.1.32473.9.1.4", ["1.3.6.1.4.1.99999"]) with { Name = "other" };

        var plan = RecordingPlan.Of("1.3.6.1.4.1.32473.1", new SheetBook([sheet, other]), [Oid.Parse("1.3.6.1.4.1.32473.7"), Oid.Parse("1.3.6.1.2.1.105.1")]);

        Assert.Contains(Oid.Parse("1.3.6.1.4.1.32473.7"), plan);
        Assert.DoesNotContain(plan, oid => oid.ToString().StartsWith("1.3.6.1.4.1.32473.7.", StringComparison.Ordinal) || oid.ToString().StartsWith("1.3.6.1.4.1.32473.9", StringComparison.Ordinal));
        Assert.Equal([Oid.Parse("1.3.6.1.2.1.105")], plan.Where(oid => oid.StartsWith(Oid.Parse("1.3.6.1.2.1.105"))));
        Assert.Equal(plan.Order(), plan);
    }

    // SNMP-COMMUNITY-MIB (RFC 3584), usmUserTable (RFC 3414), and the objects around them.
    [Theory]
    [InlineData("1.3.6.1.6.3.18.1.1", true)]
    [InlineData("1.3.6.1.6.3.15.1.2", true)]
    [InlineData("1.3.6.1.6.3.12", true)]
    [InlineData("1.3.6.1.6.3.1", false)]
    [InlineData("1.3.6.1.6.3.10.2.1", false)]
    public void Users_keys_and_communities_are_never_asked(string oid, bool isSecret)
    {
        Assert.Equal(isSecret, RecordingPlan.IsSecret(Oid.Parse(oid)));
        Assert.Equal(!isSecret, RecordingPlan.Of("", SheetBook.Empty, [Oid.Parse(oid)]).Contains(Oid.Parse(oid)));
    }

    private static DrawSheet Sheet(string column, string[] fits) =>
        new("quay", "M", "test", [.. fits], [new SheetColumn(SheetQuantity.Draw, column, SheetUnit.Watt, SheetIndex.GroupAndPort, false)], ClassCoding.ClassPlusOne, [], true);
}
