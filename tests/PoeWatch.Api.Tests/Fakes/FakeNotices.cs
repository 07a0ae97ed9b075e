using System.Collections.Immutable;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>An outbox in memory, and who tried it out.</summary>
internal sealed class FakeNotices : INoticeDesk
{
    public List<Notice> All { get; } = [];

    public List<(string? Role, string? Channel, string Who)> Trials { get; } = [];

    public List<long> Revived { get; } = [];

    public ImmutableArray<LaneView> Lanes { get; set; } = [];

    public Task<ImmutableArray<NoticeLane>> TryOutAsync(string? role, string? channel, string who, CancellationToken cancellationToken)
    {
        Trials.Add((role, channel, who));
        return Task.FromResult<ImmutableArray<NoticeLane>>([.. Lanes.Select(l => l.Lane).Where(l => (role ?? l.Role) == l.Role && (channel ?? l.Channel) == l.Channel)]);
    }

    public Task<IReadOnlyList<Notice>> ReadAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<Notice>>([.. All.Where(n => (state ?? n.State) == n.State && n.Id < (below ?? long.MaxValue)).OrderByDescending(n => n.Id).Take(max)]);

    public Task<bool> ReviveAsync(long id, CancellationToken cancellationToken)
    {
        Revived.Add(id);
        return Task.FromResult(All.Any(n => n.Id == id && n.State == NoticeState.Dead));
    }
}
