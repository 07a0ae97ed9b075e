using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Monitoring.Notices;

namespace PoeWatch.Channels.Tests;

/// <summary>Settings that cannot be are refused at the start, each with its place, the value and the remedy.</summary>
public sealed class ChannelSettingsTests
{
    [Fact]
    public void Every_problem_is_told_at_once()
    {
        using var authority = new TestAuthority();
        var secret = authority.SecretFile("short");
        var options = new NoticeOptions
        {
            DashboardUrl = "poewatch",
            Channels =
            {
                ["a"] = new() { Kind = "pigeon" },
                ["b"] = new() { Kind = "webhook", Url = "http://desk.example/hook", SecretFile = secret },
                ["c"] = new() { Kind = "webhook", Url = "https://desk.example/hook", SecretFile = secret },
                ["d"] = new() { Kind = "webhook", Url = "https://u:p@desk.example/hook", SecretFile = secret },
                ["e"] = new() { Kind = "mail", Server = "mail.example", Security = "none", From = "a@b.example", To = ["c@d.example"] },
                ["f"] = new() { Kind = "mail", Server = "mail.example", User = "u", From = "a@b.example", To = ["c@d.example"] },
                ["g"] = new() { Kind = "mail", Server = "mail.example", From = "nobody", To = ["c@d.example"] },
                ["h"] = new() { Kind = "mail", Server = "mail.example", From = "a@b.example" },
                ["i"] = new() { Kind = "syslog", Server = "not a name" },
                ["j"] = new() { Kind = "syslog", Server = "log.example", Facility = 24 },
                ["k"] = new() { Kind = "syslog", Server = "log.example", Port = 0 },
                ["l"] = new() { Kind = "syslog", Server = "log.example", CaFile = secret },
                ["m"] = new() { Kind = "snmp", Server = "nms.example" },
                ["n"] = new() { Kind = "snmp", Server = "nms.example", Credentials = "none of these" },
                ["o"] = new() { Kind = "snmp", Server = "nms.example", Credentials = "manager" },
                ["p"] = new() { Kind = "snmp", Server = "nms.example", Credentials = "manager", Arc = "1.3.6.1.3.7.1" },
                ["q"] = new() { Kind = "snmp", Server = "nms.example", Credentials = "manager", Arc = "1.3.6.1.4.1.32473.1" },
                ["r"] = new() { Kind = "snmp", Server = "nms.example", Credentials = "manager", Arc = "1.3.6.1.4.1.99999999999.1" },
                ["good"] = new() { Kind = "syslog", Server = "log.example" },
            },
            Roles = { ["auditor"] = new() { Channels = ["o"], Topics = ["evidence-root"] } },
        };

        var channels = ChannelFactory.Create(options, new Kinds.Community(), TimeProvider.System, out var problems);

        Assert.Equal(["good", "o"], channels.Select(c => c.Name));
        Assert.Equal(
            [
                "notices.dashboardUrl", "notices.channels.a.kind", "notices.channels.b.url", "notices.channels.c.secretFile", "notices.channels.d.url", "notices.channels.e.security",
                "notices.channels.f.user", "notices.channels.g.from", "notices.channels.h.to", "notices.channels.i.server", "notices.channels.j.facility", "notices.channels.k.port",
                "notices.channels.l.caFile", "notices.channels.m.credentials", "notices.channels.n.credentials",
                "notices.channels.p.arc", "notices.channels.q.arc", "notices.channels.r.arc", "notices.roles.auditor.channels",
            ],
            problems.Select(p => p.Split(':')[0]));
        Assert.DoesNotContain(problems, p => p.Contains("short", StringComparison.Ordinal) && !p.Contains("shorter", StringComparison.Ordinal));
        Assert.DoesNotContain(problems, p => p.Contains("u:p", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("1.3.6.1.4.1.32473.1", true, true)]
    [InlineData("1.3.6.1.4.1.32473.1", false, false)]
    [InlineData("1.3.6.1.4.1.8072.9.1", false, true)]
    [InlineData("1.3.6.1.4.1.8072", false, false)] // all of the enterprise
    [InlineData("1.3.6.1.4.1.0.1", false, false)] // reserved
    [InlineData("1.3.6.1.4.1", false, false)]
    [InlineData("1.3.6.1.2.1.118", false, false)]
    [InlineData("2.25.7.1", false, false)]
    [InlineData("enterprises.7.1", false, false)]
    [InlineData("1.3.6.1.4.1.7.", false, false)]
    [InlineData("", false, false)]
    public void An_arc_lies_below_an_enterprise_number_that_somebody_can_own(string written, bool isLoopback, bool isTaken)
    {
        Assert.Equal(isTaken, ArcNotification.Read(written, isLoopback, out var problem) is not null);
        Assert.Equal(isTaken, problem.Length == 0);
    }

    [Fact]
    public void With_an_arc_a_role_may_be_told_news_by_snmp()
    {
        var options = new NoticeOptions
        {
            Channels = { ["own"] = new() { Kind = "snmp", Server = "127.0.0.1", Credentials = "manager", Arc = "1.3.6.1.4.1.32473.1" } },
            Roles = { ["auditor"] = new() { Channels = ["own"], Topics = ["evidence-root"], OperatorStates = true } },
        };
        Assert.Single(ChannelFactory.Create(options, new Kinds.Community(), TimeProvider.System, out var problems));
        Assert.Empty(problems);
    }

    [Fact]
    public void Roles_are_checked_whole()
    {
        var options = new NoticeOptions
        {
            Channels = { ["desk"] = new() { Kind = "syslog", Server = "log.example" } },
            Roles =
            {
                ["auditor"] = new() { Channels = ["desk"], Severity = "loud" },
                ["night/desk"] = new() { Channels = ["desk"] },
                ["operator"] = new() { Channels = ["desk", "mail"], QuietFrom = new TimeOnly(22, 0) },
                ["planner"] = new() { DigestBelow = "major", DigestPeriod = TimeSpan.FromMinutes(1) },
            },
        };

        NoticeRoutes.Of(options, out var problems);

        Assert.Equal(
            [
                "notices.roles.auditor.severity", "notices.roles.night/desk", "notices.roles.operator.quietFrom", "notices.roles.operator.channels",
                "notices.roles.planner.digestPeriod", "notices.roles.planner.channels",
            ],
            problems.Select(p => p.Split(':')[0]));
    }
}
