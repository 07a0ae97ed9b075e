using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Config;

/// <summary>A key that takes one of a few words.</summary>
/// <param name="Name">Key as written.</param>
/// <param name="Choices">Words with what they mean, the usual one first.</param>
/// <param name="HasFallback">True where the first word counts when nothing is written.</param>
public sealed record ChoiceKey<T>(string Name, ImmutableArray<(string Word, T Meaning)> Choices, bool HasFallback)
{
    public IEnumerable<string> Words => Choices.Select(choice => choice.Word);
}

/// <summary>Every key of a design that takes one of a few words.</summary>
public static class DesignChoices
{
    public static ChoiceKey<Criticality> Criticality { get; } = new(
        "criticality",
        [("low", Design.Criticality.Low), ("high", Design.Criticality.High), ("critical", Design.Criticality.Critical)],
        HasFallback: true);

    public static ChoiceKey<AllocationPolicy> Allocation { get; } = new(
        "allocation",
        [("by-draw", AllocationPolicy.ByDraw), ("by-class", AllocationPolicy.ByClass), ("by-limit", AllocationPolicy.ByLimit)],
        HasFallback: true);

    public static ChoiceKey<SupplyRedundancy> Redundancy { get; } = new(
        "redundancy", [(SupplyRedundancy.AllNeeded.Name(), SupplyRedundancy.AllNeeded), (SupplyRedundancy.NPlusOne.Name(), SupplyRedundancy.NPlusOne)], HasFallback: true);

    public static ChoiceKey<LoadCondition> Condition { get; } = new(
        "conditions",
        [
            ("dark", LoadCondition.Dark), ("cold", LoadCondition.Cold), ("wet", LoadCondition.Wet), ("motion", LoadCondition.Motion),
            ("paging-one", LoadCondition.PagingOne), ("paging-group", LoadCondition.PagingGroup), ("paging-all", LoadCondition.PagingAll),
            ("cold-start", LoadCondition.ColdStart),
        ],
        HasFallback: false);

    /// <summary>What a device type can name: who else pages, and that it boots after an outage, is no matter of the type.</summary>
    public static ChoiceKey<LoadCondition> TypeCondition { get; } = new(
        "condition",
        [
            ("dark", LoadCondition.Dark), ("cold", LoadCondition.Cold), ("wet", LoadCondition.Wet), ("motion", LoadCondition.Motion),
            ("paging", LoadCondition.PagingAll),
        ],
        HasFallback: false);

    public static ChoiceKey<string> Medium { get; } = new("medium", [("copper", "copper"), ("fibre", "fibre")], HasFallback: false);

    public static ChoiceKey<ConductorMaterial> Material { get; } = new(
        "material",
        [("copper", ConductorMaterial.Copper), ("copper-clad-aluminium", ConductorMaterial.CopperCladAluminium)],
        HasFallback: true);

    public static ChoiceKey<int> GaugeAwg { get; } = new("gauge-awg", [("24", 24), ("23", 23), ("22", 22), ("26", 26)], HasFallback: true);

    /// <summary>Gauge of patch cords; none is the worst cord that the standard allows.</summary>
    public static ChoiceKey<int> CordGaugeAwg { get; } = new("cord-gauge-awg", [("26", 26), ("24", 24), ("23", 23), ("22", 22)], HasFallback: false);

    public static ChoiceKey<int> RatedCelsius { get; } = new("rated-c", [("60", 60), ("75", 75), ("90", 90)], HasFallback: true);

    public static ChoiceKey<bool> SunHeated { get; } = new("sun-heated", [("no", false), ("yes", true)], HasFallback: true);

    public static ChoiceKey<bool> Screened { get; } = new("screened", [("no", false), ("yes", true)], HasFallback: true);

    public static ChoiceKey<bool> ExtendedPower { get; } = new("extended-power", [("no", false), ("yes", true)], HasFallback: true);

    public static ChoiceKey<int> Pairs { get; } = new("pairs", [("4", 4), ("2", 2)], HasFallback: false);

    public static ChoiceKey<DrawUnit> DrawUnit { get; } = new(
        "unit",
        [("milliwatt", Design.DrawUnit.Milliwatt), ("deciwatt", Design.DrawUnit.Deciwatt), ("watt", Design.DrawUnit.Watt)],
        HasFallback: false);

    public static ChoiceKey<DrawIndex> DrawIndex { get; } = new(
        "index",
        [("group-and-port", Design.DrawIndex.GroupAndPort), ("port", Design.DrawIndex.Port), ("if-index", Design.DrawIndex.IfIndex)],
        HasFallback: false);
}
