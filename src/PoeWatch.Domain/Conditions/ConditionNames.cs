using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Conditions;

/// <summary>The one written name of conditions, their states and sources in API, database and screens. Pure and thread safe.</summary>
public static class ConditionNames
{
    /// <summary>What can be posted beside the conditions: the temperature of the air.</summary>
    public const string AirTemperature = "temperature";

    /// <summary>Every condition, in the order of the documentation.</summary>
    public static ImmutableArray<LoadCondition> All { get; } = [.. Enum.GetValues<LoadCondition>().Where(c => c != LoadCondition.Unknown)];

    /// <summary>Everything that can be posted.</summary>
    public static ImmutableArray<string> Topics { get; } = [.. All.Select(Name), AirTemperature];

    public static string Name(this LoadCondition condition) => condition switch
    {
        LoadCondition.Dark => "dark",
        LoadCondition.Cold => "cold",
        LoadCondition.Wet => "wet",
        LoadCondition.PagingOne => "paging-one",
        LoadCondition.PagingGroup => "paging-group",
        LoadCondition.PagingAll => "paging-all",
        LoadCondition.Motion => "motion",
        LoadCondition.ColdStart => "cold-start",
        _ => "unknown",
    };

    public static string Name(this ConditionState state) => state switch
    {
        ConditionState.Holds => "holds",
        ConditionState.DoesNotHold => "does-not-hold",
        _ => "unknown",
    };

    public static string Name(this ConditionOrigin origin) => origin switch
    {
        ConditionOrigin.Posted => "posted",
        ConditionOrigin.Thermometer => "thermometer",
        ConditionOrigin.Sun => "sun",
        ConditionOrigin.Climate => "climate",
        _ => "unknown",
    };
}
