using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What stands between switch and device: injectors, extenders, pass-through switches.</summary>
internal static class FieldBuilder
{
    /// <summary>Efficiency of a converter that makes its own output volts: 88 to 94 % is common practice (no source).</summary>
    private const double ConverterPercent = 92;

    public static void Build(DesignParts parts)
    {
        foreach (var written in parts.Config.Extenders)
        {
            BuildExtender(parts, written);
        }

        foreach (var written in parts.Config.PassThroughSwitches)
        {
            BuildPassThrough(parts, written);
        }

        foreach (var written in parts.Config.Injectors)
        {
            BuildInjector(parts, written);
        }
    }

    private static void BuildInjector(DesignParts parts, InjectorConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var rating = values.Power(written.RatingWatts, DesignNumbers.InjectorRating);
        var type = values.WholeOrNull(written.Type, DesignNumbers.PoeType) is { } number ? (PoeType)number : PoeTables.TypeForOutput(rating);
        var agent = written.Agent is null ? null : AgentBuilder.Build(parts.Problems, id, written.Agent);
        var injector = new Injector(
            id,
            written.Name?.Value ?? id,
            rating,
            Voltage.FromVolts(values.Number(written.OutputVolts, DesignNumbers.InjectorVolts)),
            type,
            BuildDataSide(parts, written, values),
            agent,
            BuildAgentPort(parts.Problems, written, id, agent));
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Injector, written.At))
        {
            parts.Injectors.Add(id, injector);
            Manage(parts, id, agent);
        }
    }

    private static PsePortRef? BuildDataSide(DesignParts parts, InjectorConfig written, ValueReader values)
    {
        values.NumberOrNull(written.DataSideLengthMeters, DesignNumbers.DataSideLength);
        if (written.DataSide is null)
        {
            return null;
        }

        return Terminations.ReadPort(parts, written.DataSide, values.Element, "data-side");
    }

    private static PsePortRef? BuildAgentPort(ProblemList problems, InjectorConfig written, string id, SnmpAgent? agent)
    {
        if (agent is null)
        {
            if (written.AgentPort is not null)
            {
                problems.Error(
                    "missing", written.AgentPort, id, "'agent-port' is written but no 'agent'.",
                    "Write 'agent' with its address for a managed injector, or remove 'agent-port'.");
            }

            return null;
        }

        var text = written.AgentPort?.Value ?? "1/1";
        if (PortNumbers.TryNumbers(id, text, out var port))
        {
            return port;
        }

        problems.Error(
            "malformed-port", written.AgentPort!, id, $"'{text}' is not a port number.", "Write a port number such as 7, or 'group/port' such as 1/7.");
        return new PsePortRef(id, 1, 1);
    }

    private static void BuildExtender(DesignParts parts, ExtenderConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var extender = new Extender(
            id,
            written.Name?.Value ?? id,
            References.Pole(parts, written.Pole, id),
            values.Power(written.InputLimitWatts, DesignNumbers.InputLimit),
            values.Power(written.OwnDrawWatts, DesignNumbers.ExtenderOwnDraw),
            values.Whole(written.Outputs, DesignNumbers.ExtenderOutputs),
            values.Power(written.OutputLimitWatts, DesignNumbers.OutputLimit));
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.Extender, written.At))
        {
            parts.Extenders.Add(id, extender);
        }
    }

    private static void BuildPassThrough(DesignParts parts, PassThroughSwitchConfig written)
    {
        var id = written.Id?.Value ?? "";
        var values = new ValueReader(parts.Problems, id, written.At);
        var volts = values.NumberOrNull(written.OutputVolts, DesignNumbers.PassThroughVolts);
        var percent = values.NumberOrNull(written.EfficiencyPercent, DesignNumbers.Efficiency) ?? (written.OutputVolts is null ? 100 : ConverterPercent);
        var input = values.Power(written.InputLimitWatts, DesignNumbers.InputLimit);
        var own = values.Power(written.OwnDrawWatts, DesignNumbers.PassThroughOwnDraw);
        var total = values.NumberOrNull(written.TotalLimitWatts, DesignNumbers.TotalLimit)
            ?? Math.Max(0, (input - own).Watts * percent / 100);
        var agent = written.Agent is null ? null : AgentBuilder.Build(parts.Problems, id, written.Agent);
        var built = new PassThroughSwitch(
            id,
            written.Name?.Value ?? id,
            References.Pole(parts, written.Pole, id),
            input,
            own,
            Ratio.FromPercent(percent),
            volts is { } v ? Voltage.FromVolts(v) : null,
            values.Whole(written.Outputs, DesignNumbers.PassThroughOutputs),
            values.Power(written.OutputLimitWatts, DesignNumbers.OutputLimit),
            Power.FromWatts(total),
            agent);
        if (parts.Elements.Take(parts.Problems, written.Id, ElementKind.PassThroughSwitch, written.At))
        {
            parts.PassThroughSwitches.Add(id, built);
            Manage(parts, id, agent);
        }
    }

    private static void Manage(DesignParts parts, string id, SnmpAgent? agent)
    {
        if (agent is not null)
        {
            parts.Agents.Add(id, agent);
        }
    }
}
