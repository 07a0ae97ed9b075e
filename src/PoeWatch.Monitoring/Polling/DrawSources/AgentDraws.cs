using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.Interfaces;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Ports and groups of one poll, with what is odd about them.</summary>
internal sealed record DecodedPoll(
    ImmutableArray<PortReading> Ports, ImmutableArray<GroupReading> Groups, ImmutableArray<ReadingFinding> Findings, IReadOnlyList<SourceRuling> Rulings);

/// <summary>One ruling, for people.</summary>
internal sealed record SourceRuling(string Source, int Group, GroupRuling Ruling);

/// <summary>
/// All that is known of the watts of one agent between its polls: plan, interfaces, and whether its figures may be believed. No I/O; used by one poll at
/// a time.
/// </summary>
internal sealed class AgentDraws(DrawColumn? design)
{
    private readonly DrawCourt _court = new();
    private AgentOffer _offer = new(string.Empty, string.Empty, SlowAnswers.None);
    private PortIndexes _indexes = new([]);
    private ImmutableArray<PortReading> _last = [];

    public DrawPlan Plan { get; private set; } = DrawPlan.Before(design);

    /// <summary>Interface of each port, where that is known.</summary>
    public ImmutableDictionary<PsePortRef, MappedInterface> Mapped { get; private set; } = ImmutableDictionary<PsePortRef, MappedInterface>.Empty;

    public AgentOffer Offer => _offer;

    public PortIndexes Indexes => _indexes;

    /// <summary>Takes what a survey brought, and decides anew which sources are read and which interface is which port's.</summary>
    /// <param name="poll">The columns of the poll that the survey belongs to.</param>
    public void Take(string pseId, SurveyAnswer survey, FastAnswers poll)
    {
        _offer = survey.Offer;
        SheetColumn[] columns = [.. Sheets(survey.Sheet).SelectMany(s => s.Columns).Where(c => c.Holds == SheetQuantity.Draw)];
        ImmutableArray<PsePortRef> ports = PortTable.Ports(pseId, poll, columns);
        PortTable table = PortTable.Read(new PortIndexes(ports), poll, sheet: null);
        var delivering = ports.Where((_, slot) => table.IsDelivering(slot)).ToFrozenSet();
        InterfaceEvidence evidence = EvidenceReader.Read(_offer.Slow, ports, Sheets(survey.Sheet), delivering);
        Mapped = InterfaceMap.Map(ports, evidence);
        _indexes = Index(ports, evidence.Interfaces);
        var frame = new DrawFrame(_indexes, poll, _offer, TimeSpan.Zero, UpTime: null);
        Plan = DrawPlan.Of(survey.Sources, survey.Sheet, design, column => survey.Offered.Contains(column) || _offer.Slow.Has(column), frame);

        // What each poll reads anyway is not kept from the survey: over thousands of switches it would be most of the memory.
        var kept = survey.Sources.SelectMany(source => source.Slow).ToHashSet();
        var read = Plan.Fast.Append(PoeOids.PortState).Where(column => !kept.Contains(column)).ToHashSet();
        _offer = _offer with { Slow = _offer.Slow.Without(read) };
    }

    /// <summary>Forgets what rates are made of.</summary>
    public void ForgetRates()
    {
        foreach (IDrawSource source in Plan.Active.Concat(Plan.Tried.Select(tried => tried.Source)))
        {
            source.Forget();
        }
    }

    /// <summary>Readings out of the columns of one poll.</summary>
    /// <param name="slowAge">How long ago the last survey was.</param>
    public DecodedPoll Decode(PollTarget target, FastAnswers poll, TimeSpan slowAge, TimeSpan? upTime)
    {
        FollowPorts(target.PseId, poll);
        ImmutableArray<IDrawSource> active = Plan.Active;
        DecodeRoom room = DecodeRoom.OfThread;
        PortTable table = room.Table = PortTable.Read(_indexes, poll, Plan.Sheet, room.Table);
        var frame = new DrawFrame(_indexes, poll, _offer, slowAge, upTime);
        DrawSlots best = room.Best;
        best.Reset(_indexes.Ports.Length);
        PoeTableRows.Read(poll, room.Groups);
        var verdicts = new GroupVerdicts(PoeTableRows.Groups(room.Groups), room.Groups);
        IReadOnlyList<DrawSlots> said = room.Said(active.Length, _indexes.Ports.Length);
        DrawSlots? allocations = null;
        for (var i = 0; i < active.Length; i++)
        {
            active[i].Read(frame, said[i]);
            allocations ??= active[i].Best == Provenance.Allocated ? said[i] : null;
        }

        Dictionary<int, Power> limits = GroupJudge.Limits(Plan.Sheet, frame);
        for (var i = 0; i < active.Length; i++)
        {
            best.Source = i;
            var judge = new GroupJudge(table, said[i], allocations, limits, target.PortTypes);
            foreach (GroupSlots group in _indexes.Groups)
            {
                Merge(best, said[i], active[i], group, judge, verdicts);
            }
        }

        if (_court.HasWithheld)
        {
            Plan = Plan.Widened();
        }

        ImmutableArray<PortReading> ports = Ports(target, table, best, active);
        return new DecodedPoll(ports, PoeTableRows.WithoutFalseZeros(verdicts.Groups(ports), ports), verdicts.Findings, verdicts.Rulings);
    }

    // A port that reads as in the poll before is the same object: most stand still most of the time.
    private ImmutableArray<PortReading> Ports(PollTarget target, PortTable table, DrawSlots best, ImmutableArray<IDrawSource> active)
    {
        ImmutableArray<PsePortRef> refs = _indexes.Ports;
        ImmutableArray<PortReading>.Builder? ports = refs.Length == _last.Length ? null : Started(refs.Length, 0);
        for (var slot = 0; slot < refs.Length; slot++)
        {
            PortReading? before = slot < _last.Length && _last[slot].Port == refs[slot] ? _last[slot] : null;
            PortReading now = DrawDecoder.Port(
                refs[slot], table.States[slot], table.Assigned[slot], best[slot], best[slot].IsKnown ? active[best.SourceOf(slot)].Name : string.Empty,
                target.PortTypes.TypeOf(refs[slot]), before);
            ports ??= ReferenceEquals(now, before) ? null : Started(refs.Length, slot);
            ports?.Add(now);
        }

        _last = ports?.MoveToImmutable() ?? _last;
        return _last;
    }

    private ImmutableArray<PortReading>.Builder Started(int length, int unchanged)
    {
        var ports = ImmutableArray.CreateBuilder<PortReading>(length);
        ports.AddRange(_last, unchanged);
        return ports;
    }

    private void Merge(DrawSlots best, DrawSlots said, IDrawSource source, GroupSlots group, GroupJudge judge, GroupVerdicts verdicts)
    {
        int[] slots = group.Slots;
        GroupRuling? ruling = null;
        if (source.Best.IsDraw() && HasDraw(said, slots))
        {
            ruling = _court.Rule(source.Name, group.Group, slots, judge, verdicts.Figure(group.Group), verdicts.Budget(group.Group));
            verdicts.Add(source.Name, group.Group, ruling.Value);
        }

        if (ruling is { IsPublished: false })
        {
            return;
        }

        foreach (var slot in slots)
        {
            if (ruling is { IsAllocation: true } && said[slot].Provenance == Provenance.Measured)
            {
                said.Relabel(slot, Provenance.Allocated);
            }

            best.Put(slot, said[slot]);
        }
    }

    /// <summary>The ports of the last poll with what is configured in the PSE.</summary>
    public ImmutableArray<PortReading> Prioritised(IReadOnlyDictionary<PsePortRef, Criticality> priorities)
    {
        ImmutableArray<PortReading>.Builder? other = null;
        for (var slot = 0; slot < _last.Length; slot++)
        {
            Criticality priority = priorities.GetValueOrDefault(_last[slot].Port);
            if (_last[slot].Priority != priority)
            {
                other ??= _last.ToBuilder();
                other[slot] = _last[slot] with { Priority = priority };
            }
        }

        _last = other?.ToImmutable() ?? _last;
        return _last;
    }

    private static bool HasDraw(DrawSlots said, int[] slots)
    {
        foreach (var slot in slots)
        {
            if (said[slot].Provenance.IsDraw())
            {
                return true;
            }
        }

        return false;
    }

    // Ports come and go with boxes of a stack. What is known of interfaces stays until the next survey.
    private void FollowPorts(string pseId, FastAnswers poll)
    {
        if (HasSamePorts(poll))
        {
            return;
        }

        SheetColumn[] columns =
        [
            .. (Plan.Sheet?.Columns ?? []).Concat(design is null ? [] : DrawSourceList.AsSheet(design).Columns).Where(c => c.Holds == SheetQuantity.Draw),
        ];
        ImmutableArray<PsePortRef> ports = PortTable.Ports(pseId, poll, columns);
        if (!ports.AsSpan().SequenceEqual(_indexes.Ports.AsSpan()))
        {
            _indexes = Index(ports, InterfaceFacts.Of(_offer.Slow));
        }
    }

    // The usual case, without a set of ports of its own.
    private bool HasSamePorts(FastAnswers poll)
    {
        var next = 0;
        foreach (var (index, _) in poll.Cells(PoeOids.PortState))
        {
            if (next == _indexes.Ports.Length || index.Count != 2 || _indexes.Ports[next].Group != index.First || _indexes.Ports[next].Port != index.Second)
            {
                return false;
            }

            next++;
        }

        return next > 0 && next == _indexes.Ports.Length;
    }

    private PortIndexes Index(ImmutableArray<PsePortRef> ports, IReadOnlyCollection<InterfaceFacts> interfaces)
    {
        Dictionary<int, int> basePorts = EvidenceReader.BasePorts(_offer.Slow);
        return new PortIndexes(
            ports, Mapped.ToDictionary(m => m.Key, m => m.Value.IfIndex), basePorts,
            EvidenceReader.LldpPorts(_offer.Slow, interfaces, basePorts), EvidenceReader.Entities(_offer.Slow));
    }

    private IEnumerable<DrawSheet> Sheets(DrawSheet? sheet) =>
        (design is null ? [] : new[] { DrawSourceList.AsSheet(design) }).Concat(sheet is null ? [] : [sheet]);
}
