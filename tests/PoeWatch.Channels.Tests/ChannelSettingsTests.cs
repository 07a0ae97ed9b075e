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
                "notices.channels.l.caFile", "notices.channels.m.credentials", "notices.channels.n.credentials", "notices.roles.auditor.channels",
            ],
            problems.Select(p => p.Split(':')[0]));
        Assert.DoesNotContain(problems, p => p.Contains("short", StringComparison.Ordinal) && !p.Contains("shorter", StringComparison.Ordinal));
        Assert.DoesNotContain(problems, p => p.Contains("u:p", StringComparison.Ordinal));
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
