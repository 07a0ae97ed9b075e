using System.Runtime.CompilerServices;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.TestKit.Stores;

/// <content>Rollups.</content>
public sealed partial class MemoryStore : IRollupStore
{
    private readonly List<RollupBlock> _rollups = [];
    private readonly HashSet<LateHour> _late = [];
    private RollupFrontier _rollupFrontier;

    public IReadOnlyList<RollupBlock> Rollups => Locked(() => _rollups.ToArray());

    public Task SaveRollupsAsync(IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken) => Do(() =>
    {
        foreach (RollupBlock block in blocks)
        {
            _rollups.RemoveAll(b => b.Subject == block.Subject && b.Step == block.Step && b.Start >= block.Start && b.Start < block.End);
            _rollups.Add(block);
        }
    });

    public IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupSubject subject, RollupStep step, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        StreamAsync(b => b.Subject == subject && b.Step == step && b.Start < to && b.End > from, cancellationToken);

    public IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupKind kind, RollupStep step, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        StreamAsync(b => b.Subject.Kind == kind && b.Step == step && b.Start < to && b.End > from, cancellationToken);

    public Task<RollupFrontier> ReadRollupFrontierAsync(CancellationToken cancellationToken) => Do(() => _rollupFrontier);

    public Task SaveRollupFrontierAsync(RollupFrontier frontier, CancellationToken cancellationToken) => Do(() =>
    {
        _rollupFrontier = frontier;
    });

    public Task NoteLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => Do(() => _late.UnionWith(hours));

    public Task<IReadOnlyList<LateHour>> ReadLateHoursAsync(CancellationToken cancellationToken) =>
        Do<IReadOnlyList<LateHour>>(() => [.. _late.OrderBy(l => l.Hour).ThenBy(l => l.PseId, StringComparer.Ordinal)]);

    public Task ForgetLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => Do(() => _late.ExceptWith(hours));

    public Task DropRollupsAsync(RollupStep step, DateTimeOffset before, CancellationToken cancellationToken) => Do(() => _rollups.RemoveAll(b => b.Step == step && b.End <= before));

    private async IAsyncEnumerable<RollupBlock> StreamAsync(Func<RollupBlock, bool> wanted, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await Do(() => { });
        foreach (RollupBlock block in Rollups.Where(wanted).OrderBy(b => b.Subject.Name, StringComparer.Ordinal).ThenBy(b => b.Start))
        {
            cancellationToken.ThrowIfCancellationRequested();
            yield return block;
        }
    }
}
