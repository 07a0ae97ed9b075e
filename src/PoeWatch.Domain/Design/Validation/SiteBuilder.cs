using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Site, headroom policy and poles.</summary>
internal static class SiteBuilder
{
    public const string Format = "poewatch-design/1";

    public static void Build(DesignParts parts)
    {
        CheckFormat(parts);
        parts.Site = BuildSite(parts);
        parts.Headroom = BuildHeadroom(parts);
        foreach (var pole in parts.Config.Poles)
        {
            BuildPole(parts, pole);
        }
    }

    private static void CheckFormat(DesignParts parts)
    {
        var format = parts.Config.Format;
        if (format is null)
        {
            parts.Problems.Error("missing", parts.Config.At, "", "", "'format' is missing.", $"Write 'format: {Format}' as the first line.");
        }
        else if (format.Value != Format)
        {
            parts.Problems.Error(
                "unknown-format", format, "", $"The format '{format.Value}' is not known.", $"Write 'format: {Format}'.");
        }
    }

    private static Site BuildSite(DesignParts parts)
    {
        var site = parts.Config.Site;
        if (site is null)
        {
            return new Site("Site", "UTC", null);
        }

        var zone = site.TimeZone?.Value ?? "UTC";
        if (site.TimeZone is not null && !TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _))
        {
            parts.Problems.Error(
                "unknown-time-zone", site.TimeZone, "site", $"The time zone '{zone}' is not known.",
                "Write a name of the IANA time zone database such as 'Europe/London', or 'UTC'.");
        }

        return new Site(site.Name?.Value ?? "Site", zone, BuildCoordinates(parts.Problems, "site", site.Coordinates));
    }

    private static void BuildPole(DesignParts parts, PoleConfig pole)
    {
        var id = pole.Id?.Value ?? "";
        var built = new Pole(id, pole.Name?.Value ?? id, BuildCoordinates(parts.Problems, id, pole.Coordinates));
        if (parts.Elements.Take(parts.Problems, pole.Id, ElementKind.Pole, pole.At))
        {
            parts.Poles.Add(id, built);
        }
    }

    private static Coordinates? BuildCoordinates(ProblemList problems, string element, CoordinatesConfig? written)
    {
        if (written is null)
        {
            return null;
        }

        var values = new ValueReader(problems, element, written.At);
        return new Coordinates(
            values.Number(written.LatitudeDegrees, DesignNumbers.Latitude), values.Number(written.LongitudeDegrees, DesignNumbers.Longitude));
    }

    private static HeadroomPolicy BuildHeadroom(DesignParts parts)
    {
        var written = parts.Config.Headroom;
        return written is null
            ? HeadroomDefaults.Policy
            : new HeadroomPolicy(
                BuildLevels(parts.Problems, "at-run", written.AtRun),
                BuildLevels(parts.Problems, "at-port", written.AtPort),
                BuildLevels(parts.Problems, "at-group", written.AtGroup),
                BuildLevels(parts.Problems, "at-supply", written.AtSupply));
    }

    private static HeadroomLevels BuildLevels(ProblemList problems, string key, HeadroomLevelsConfig? written)
    {
        if (written is null)
        {
            return HeadroomDefaults.Levels;
        }

        // A place that says anything says everything: mixing a written percentage with unwritten watts would surprise.
        var values = new ValueReader(problems, "headroom." + key, written.At);
        var early = BuildFloor(values, written.EarlyWatts, DesignNumbers.EarlyWatts, written.EarlyPercent, DesignNumbers.EarlyPercent);
        var late = BuildFloor(values, written.LateWatts, DesignNumbers.LateWatts, written.LatePercent, DesignNumbers.LatePercent);
        if (early.Watts < late.Watts || early.Percent < late.Percent)
        {
            problems.Error(
                "floors-swapped", written.At, values.Element, $"{late.Watts}, {late.Percent}", "The late floor lies above the early one.",
                "Give the early floor the larger figures: it is to be crossed first.");
        }

        return new HeadroomLevels(early, late);
    }

    private static HeadroomFloor BuildFloor(
        ValueReader values, Written<string>? watts, NumberKey wattsKey, Written<string>? percent, NumberKey percentKey)
    {
        if (watts is null && percent is null)
        {
            values.Missing(wattsKey.Name, $"watts, or '{percentKey.Name}' with percent, or both");
        }

        return new HeadroomFloor(
            Power.FromWatts(values.NumberOrNull(watts, wattsKey) ?? 0), Ratio.FromPercent(values.NumberOrNull(percent, percentKey) ?? 0));
    }
}
