using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Cables, and that each output feeds one element and each element is fed once.</summary>
internal sealed class CableBuilder(DesignParts parts)
{
    private readonly Dictionary<Termination, WrittenAt> _fedFrom = [];
    private readonly HashSet<string> _namedTargets = new(StringComparer.Ordinal);

    // Elements whose id is probably misspelt at the cable that feeds them: told there, not again as unfed.
    private readonly HashSet<string> _probablyMeant = new(StringComparer.Ordinal);

    private CableFigures _site = CableFigures.None;

    public void Build()
    {
        if (parts.Config.CableDefaults is { } defaults)
        {
            _site = CableFigures.Read(new ValueReader(parts.Problems, "cable-defaults", defaults.At), defaults);
            CableAdvice.WarnAsWritten(parts.Problems, "cable-defaults", defaults);
        }

        foreach (var cable in parts.Config.Cables)
        {
            BuildCable(cable);
        }

        CheckEachIsFed();
        CheckDataSides();
        CheckChannels();
    }

    private void BuildCable(CableConfig written)
    {
        // An element is fed by one cable, so its id names the cable where the design does not.
        var id = written.Id?.Value ?? (written.To is null ? "" : "cable-" + written.To.Value);
        var values = new ValueReader(parts.Problems, id, written.At);
        values.Text(written.From, "from", "where the cable starts, such as quay-west:1/7");
        values.Text(written.To, "to", "the element that it feeds");
        var from = written.From is null ? null : Terminations.ReadFrom(parts, written.From, id);
        var to = ReadTo(written, id);
        var figures = CableFigures.Read(values, written.Installation).Over(_site);
        var measuredAt = values.NumberOrNull(written.MeasuredAtCelsius, DesignNumbers.MeasuredAtCelsius);
        var segment = new CableSegment(
            id,
            from ?? default,
            to ?? "",
            Length.FromMeters(values.Number(written.LengthMeters, DesignNumbers.CableLength)),
            figures.GaugeAwg ?? DesignChoices.GaugeAwg.Choices[0].Meaning,
            written.Pairs is null ? UsualPairs(from) : values.Choice(written.Pairs, DesignChoices.Pairs),
            figures.Category,
            figures.Material ?? ConductorMaterial.Copper,
            values.NumberOrNull(written.MeasuredLoopOhms, DesignNumbers.MeasuredLoop) is { } ohms ? Resistance.FromOhms(ohms) : null,
            figures.AsItLies())
        {
            Installation = figures.Installation(measuredAt is { } celsius ? Temperature.FromCelsius(celsius) : null),
        };
        CableAdvice.WarnAsWritten(parts.Problems, id, written.Installation);

        var isFreeOutput = from is not { } start || TakeOutput(start, written.From!, id);
        var isFreeTarget = to is null || TakeTarget(to, written.To!, id);
        if (written.Id is not null || (to is not null && isFreeTarget))
        {
            parts.Elements.Take(parts.Problems, written.Id ?? new Written<string>(id, written.To!.At), ElementKind.Cable, written.At);
        }

        if (from is not null && to is not null && isFreeOutput && isFreeTarget)
        {
            parts.SegmentByFed.Add(to, segment);
            parts.WrittenCables[id] = written;
        }
    }

    private string? ReadTo(CableConfig written, string cableId)
    {
        if (written.To is null)
        {
            return null;
        }

        var to = written.To.Value;
        switch (parts.Elements.KindOf(to))
        {
            case ElementKind.Device or ElementKind.Extender or ElementKind.PassThroughSwitch:
                return to;
            case ElementKind.Injector:
                parts.Problems.Error(
                    "takes-no-power", written.To, cableId, $"The injector '{to}' takes no power over a cable: it is a source.",
                    "Write the switch port that it takes data from as 'data-side' of the injector, and start a cable at the injector.");
                return null;
            case { } kind:
                parts.Problems.Error(
                    "takes-no-power", written.To, cableId, $"'{to}' is a {Noun(kind)} and takes no power over a cable.",
                    "End the cable at a device, an extender or a pass-through switch.");
                return null;
            default:
                var fed = new[] { ElementKind.Device, ElementKind.Extender, ElementKind.PassThroughSwitch }.SelectMany(parts.Elements.IdsOf).ToArray();
                _probablyMeant.Add(Suggestion.Nearest(to, fed) ?? "");
                parts.Problems.Error(
                    "unknown-element", written.To, cableId, $"There is no element '{to}'.",
                    $"{Suggestion.Hint(to, fed)}Name a device, an extender or a pass-through switch of this design.");
                return null;
        }
    }

    private bool TakeOutput(Termination start, Written<string> written, string cableId)
    {
        if (_fedFrom.TryAdd(start, written.At))
        {
            return true;
        }

        parts.Problems.Error(
            "output-used-twice", written, cableId, $"'{start}' feeds the cable at {_fedFrom[start]} already.",
            "Give each cable an output of its own; to branch, use an extender or a pass-through switch.");
        return false;
    }

    private bool TakeTarget(string to, Written<string> written, string cableId)
    {
        if (_namedTargets.Add(to))
        {
            return true;
        }

        parts.Problems.Error(
            "fed-twice", written, cableId, $"'{to}' is fed by another cable already.", "Feed each element by one cable only; remove one of them.");
        return false;
    }

    // Four pairs carry power only above 30 W (types 3 and 4); below, two pairs are the safe reading because their resistance is double.
    private int UsualPairs(Termination? from)
    {
        if (from is not { } start)
        {
            return 2;
        }

        var limit = parts.Elements.KindOf(start.ElementId) switch
        {
            ElementKind.Switch => PortAt(start).Limit,
            ElementKind.Injector => parts.Injectors[start.ElementId].Rating,
            ElementKind.Extender => parts.Extenders[start.ElementId].OutputLimit,
            _ => parts.PassThroughSwitches[start.ElementId].OutputLimit,
        };
        return limit > PortDefaults.Limit ? 4 : 2;
    }

    private PsePort PortAt(Termination start)
    {
        var reference = new PsePortRef(start.ElementId, start.Group, start.Output);
        return parts.Switches[start.ElementId].Ports.GetValueOrDefault(reference) ?? PortDefaults.Plain(reference);
    }

    private void CheckEachIsFed()
    {
        foreach (var kind in new[] { ElementKind.Device, ElementKind.Extender, ElementKind.PassThroughSwitch })
        {
            foreach (var id in parts.Elements.IdsOf(kind).Where(id => !_namedTargets.Contains(id) && !_probablyMeant.Contains(id)))
            {
                parts.Problems.Error(
                    "not-fed", parts.Elements.PlaceOf(id), id, id, $"No cable feeds the {Noun(kind)} '{id}'.",
                    $"Write a cable with 'to: {id}' under 'cables', or remove the {Noun(kind)}.");
            }
        }
    }

    private void CheckDataSides()
    {
        var taken = new Dictionary<PsePortRef, string>();
        foreach (var written in parts.Config.Injectors.Where(i => i.Id is not null && i.DataSide is not null))
        {
            var id = written.Id!.Value;
            if (parts.Injectors.GetValueOrDefault(id)?.DataSide is not { } port)
            {
                continue;
            }

            if (_fedFrom.TryGetValue(new Termination(port.PseId, port.Group, port.Port), out var cableAt))
            {
                parts.Problems.Error(
                    "double-pse", written.DataSide!, id, $"The port '{port}' feeds the cable at {cableAt} and is the data side of '{id}': two sources on one run.",
                    "Let one of the two feed: give the cable another port, or start it at the injector.");
            }

            if (!taken.TryAdd(port, id))
            {
                parts.Problems.Error(
                    "output-used-twice", written.DataSide!, id, $"The port '{port}' is the data side of '{taken[port]}' already.",
                    "Give each injector a switch port of its own.");
            }
        }
    }

    // A plain injector adds power to a channel and starts no new one, so both its cables share the 100 m.
    private void CheckChannels()
    {
        foreach (var written in parts.Config.Injectors.Where(i => i.Id is not null && i.DataSideLengthMeters is not null))
        {
            var output = parts.SegmentByFed.Values.FirstOrDefault(s => s.From.ElementId == written.Id!.Value);
            var before = new ValueReader(new ProblemList(), "", written.At).NumberOrNull(written.DataSideLengthMeters, DesignNumbers.DataSideLength) ?? 0;
            if (output is not null && before + output.Length.Meters > DesignNumbers.SegmentMaxMeters)
            {
                parts.Problems.Warning(
                    "channel-too-long", written.DataSideLengthMeters!.At, written.Id!.Value, written.DataSideLengthMeters.Value,
                    $"Before and behind the injector lie {Length.FromMeters(before) + output.Length} together; one that does not repeat the data reaches 100 m over both.",
                    "Shorten one of the two, or make sure that the injector repeats the data.");
            }
        }
    }

    private static string Noun(ElementKind kind) => kind switch
    {
        ElementKind.PassThroughSwitch => "pass-through switch",
        _ => kind.ToString().ToLowerInvariant(),
    };
}
