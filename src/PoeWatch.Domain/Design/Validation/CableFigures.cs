using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What one place of the design says of a cable's copper and of how it hangs; null where it says nothing. Immutable.</summary>
internal sealed record CableFigures
{
    public static CableFigures None { get; } = new();

    public int? GaugeAwg { get; init; }

    public string? Category { get; init; }

    public ConductorMaterial? Material { get; init; }

    public double? ConductorCelsius { get; init; }

    public double? AmbientCelsius { get; init; }

    public bool? IsSunHeated { get; init; }

    public int? RatedCelsius { get; init; }

    public double? CordMeters { get; init; }

    public int? CordGaugeAwg { get; init; }

    public double? CordLoopOhms { get; init; }

    public double? CordCelsius { get; init; }

    public int? Contacts { get; init; }

    public double? ContactOhms { get; init; }

    public int? BundledCables { get; init; }

    public double? PairUnbalancePercent { get; init; }

    public double? PairsetLimitAmperes { get; init; }

    public bool? IsScreened { get; init; }

    /// <summary>Reads what is written at one place.</summary>
    public static CableFigures Read(ValueReader values, InstallationConfig written)
    {
        CheckOneTemperature(values, written);
        return new CableFigures
        {
            GaugeAwg = values.ChoiceOrNull(written.GaugeAwg, DesignChoices.GaugeAwg),
            Category = written.Category?.Value,
            Material = values.ChoiceOrNull(written.Material, DesignChoices.Material),
            ConductorCelsius = values.NumberOrNull(written.ConductorCelsius, DesignNumbers.ConductorCelsius),
            AmbientCelsius = values.NumberOrNull(written.AmbientCelsius, DesignNumbers.AmbientCelsius),
            IsSunHeated = values.ChoiceOrNull(written.SunHeated, DesignChoices.SunHeated),
            RatedCelsius = values.ChoiceOrNull(written.RatedCelsius, DesignChoices.RatedCelsius),
            CordMeters = values.NumberOrNull(written.CordLengthMeters, DesignNumbers.CordLength),
            CordGaugeAwg = values.ChoiceOrNull(written.CordGaugeAwg, DesignChoices.CordGaugeAwg),
            CordLoopOhms = values.NumberOrNull(written.CordLoopOhms, DesignNumbers.CordLoop),
            CordCelsius = values.NumberOrNull(written.CordCelsius, DesignNumbers.CordCelsius),
            Contacts = values.WholeOrNull(written.Contacts, DesignNumbers.Contacts),
            ContactOhms = values.NumberOrNull(written.ContactOhms, DesignNumbers.ContactOhms),
            BundledCables = values.WholeOrNull(written.BundledCables, DesignNumbers.BundledCables),
            PairUnbalancePercent = values.NumberOrNull(written.PairUnbalancePercent, DesignNumbers.PairUnbalance),
            PairsetLimitAmperes = values.NumberOrNull(written.PairsetLimitAmperes, DesignNumbers.PairsetLimit),
            IsScreened = values.ChoiceOrNull(written.Screened, DesignChoices.Screened),
        };
    }

    /// <summary>These figures, and the site's where these say nothing.</summary>
    public CableFigures Over(CableFigures site) => new()
    {
        GaugeAwg = GaugeAwg ?? site.GaugeAwg,
        Category = Category ?? site.Category,
        Material = Material ?? site.Material,

        // A cable that says how warm its surroundings are does not mean the site's conductors.
        ConductorCelsius = ConductorCelsius ?? (AmbientCelsius is null && IsSunHeated is null ? site.ConductorCelsius : null),
        AmbientCelsius = AmbientCelsius ?? site.AmbientCelsius,
        IsSunHeated = IsSunHeated ?? site.IsSunHeated,
        RatedCelsius = RatedCelsius ?? site.RatedCelsius,
        CordMeters = CordMeters ?? site.CordMeters,
        CordGaugeAwg = CordGaugeAwg ?? site.CordGaugeAwg,

        // A cable with cords of its own does not mean the ohms of the site's.
        CordLoopOhms = CordLoopOhms ?? (CordMeters is null && CordGaugeAwg is null ? site.CordLoopOhms : null),
        CordCelsius = CordCelsius ?? site.CordCelsius,
        Contacts = Contacts ?? site.Contacts,
        ContactOhms = ContactOhms ?? site.ContactOhms,
        BundledCables = BundledCables ?? site.BundledCables,
        PairUnbalancePercent = PairUnbalancePercent ?? site.PairUnbalancePercent,
        PairsetLimitAmperes = PairsetLimitAmperes ?? site.PairsetLimitAmperes,
        IsScreened = IsScreened ?? site.IsScreened,
    };

    /// <summary>Temperature of the cable as it lies, before its bundle warms it.</summary>
    public Temperature AsItLies() => Temperature.FromCelsius(
        ConductorCelsius
        ?? (IsSunHeated == true
            ? Math.Max(CableHeat.SunHeatedConduit.Celsius, AmbientCelsius ?? CableHeat.SunHeatedConduit.Celsius)
            : AmbientCelsius ?? DesignNumbers.ConductorCelsius.Fallback!.Value));

    /// <summary>How the cable hangs.</summary>
    public CableInstallation Installation(Temperature? measuredAt) => new()
    {
        Cords = Length.FromMeters(CordMeters ?? 0.0),
        CordConductor = CordConductor(),
        Contacts = Contacts ?? 0,
        PerContact = Resistance.FromOhms(ContactOhms ?? DesignNumbers.ContactOhms.Fallback!.Value),
        BundledCables = BundledCables ?? 0,
        BundleCategory = BundleCategory(),
        Rating = Temperature.FromCelsius(RatedCelsius ?? CableInstallation.UsualRating.Celsius),
        PairUnbalance = Ratio.FromPercent(PairUnbalancePercent ?? 0.0),
        PairsetLimit = PairsetLimitAmperes is { } amperes ? Current.FromAmperes(amperes) : null,
        IsScreened = IsScreened ?? false,
        MeasuredAt = measuredAt,
        IsTemperatureKnown = ConductorCelsius is not null || AmbientCelsius is not null || IsSunHeated == true,
    };

    private Resistance CordConductor()
    {
        if (CordLoopOhms is { } loop)
        {
            return Resistance.FromOhms(loop / 2.0); // A tester goes there and back.
        }

        var warmth = CordCelsius is { } celsius ? Temperature.FromCelsius(celsius) : AsItLies();
        var perMeter = CordGaugeAwg is { } gauge
            ? CableResistance.PerMeter(gauge, warmth)
            : ChannelResistance.Warm(ChannelResistance.WorstCordPerMeter, warmth);
        return perMeter * (CordMeters ?? 0.0);
    }

    // Whatever else a category is called counts as the one that warms most.
    private BundledCable BundleCategory() => Category?.ToLowerInvariant() switch
    {
        "6" => BundledCable.Category6,
        "6a" or "7" or "7a" or "8" or "8.1" or "8.2" => BundledCable.Category6A,
        _ => BundledCable.Category5e,
    };

    private static void CheckOneTemperature(ValueReader values, InstallationConfig written)
    {
        if (written.ConductorCelsius is { } conductor && (written.AmbientCelsius is not null || written.SunHeated is { Value: "yes" }))
        {
            values.Problems.Error(
                "temperature-twice", conductor, values.Element, "How warm the cable lies is written twice: as 'conductor-c' and as 'ambient-c' or 'sun-heated'.",
                "Keep 'conductor-c' where somebody measured it; else write 'ambient-c' or 'sun-heated' alone.");
        }
    }
}
