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
    ImmutableArray<PortReading> Ports, ImmutableArray<GroupReading> Groups, ImmutableArray<ReadingFinding> Findings, ImmutableArray<SourceRuling> Rulings);

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
        PortTable table = PortTable.Read(_indexes, poll, Plan.Sheet);
        var frame = new DrawFrame(_indexes, poll, _offer, slowAge, upTime);
        var best = new DrawSlots(_indexes.Ports.Length);
        ImmutableArray<GroupReading> groups = PoeTableRows.Groups(poll);
        var verdicts = new GroupVerdicts(groups, PoeTableRows.GroupFigures(poll));
        DrawSlots[] said = [.. active.Select(source => Read(source, frame))];
        DrawSlots? allocations = said.Where((_, i) => active[i].Best == Provenance.Allocated).FirstOrDefault();
        Dictionary<int, Power> limits = GroupJudge.Limits(Plan.Sheet, frame);
        for (var i = 0; i < said.Length; i++)
        {
            best.Source = i;
            var judge = new GroupJudge(table, said[i], allocations, limits, slot => target.PortTypes.GetValueOrDefault(_indexes.Ports[slot]));
            foreach (GroupSlots group in _indexes.Groups)
            {
                Merge(best, said[i], active[i], group, judge, verdicts);
            }
        }

        if (_court.HasWithheld)
        {
            Plan = Plan.Widened();
        }

        ImmutableArray<PortReading> ports =
        [
            .. _indexes.Ports.Select((port, slot) => DrawDecoder.Port(
                port, table.States[slot], table.Assigned[slot], best[slot], best[slot].IsKnown ? active[best.SourceOf(slot)].Name : string.Empty,
                target.PortTypes.GetValueOrDefault(port))),
        ];
        return new DecodedPoll(ports, PoeTableRows.WithoutFalseZeros(verdicts.Groups(ports), ports), verdicts.Findings, verdicts.Rulings);
    }

    private static DrawSlots Read(IDrawSource source, DrawFrame frame)
    {
        var slots = new DrawSlots(frame.Ports.Ports.Length);
        source.Read(frame, slots);
        return slots;
    }

    private void Merge(DrawSlots best, DrawSlots said, IDrawSource source, GroupSlots group, GroupJudge judge, GroupVerdicts verdicts)
    {
        int[] slots = group.Slots;
        GroupRuling? ruling = null;
        if (source.Best.IsDraw() && slots.Any(slot => said[slot].Provenance.IsDraw()))
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
