using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.DrawSheets;

/// <summary>A draw sheet as written.</summary>
public sealed record DrawSheetConfig(WrittenAt At)
{
    public Written<string>? Format { get; init; }

    public Written<string>? Name { get; init; }

    public Written<string>? Mib { get; init; }

    public Written<string>? Source { get; init; }

    public ImmutableArray<Written<string>> Fits { get; init; } = [];

    public Written<string>? ClassCoding { get; init; }

    public ImmutableArray<SheetColumnConfig> Columns { get; init; } = [];

    public ImmutableArray<SheetExceptionConfig> Exceptions { get; init; } = [];
}

/// <summary>A column of a sheet as written.</summary>
public sealed record SheetColumnConfig(WrittenAt At)
{
    public Written<string>? Holds { get; init; }

    public Written<string>? Oid { get; init; }

    public Written<string>? Unit { get; init; }

    public Written<string>? Index { get; init; }

    public Written<string>? Type { get; init; }
}

/// <summary>An exception of a sheet as written.</summary>
public sealed record SheetExceptionConfig(WrittenAt At)
{
    public Written<string>? ObjectId { get; init; }

    public Written<string>? DescriptionHas { get; init; }

    public Written<string>? DrawIs { get; init; }

    public Written<string>? Source { get; init; }
}

/// <summary>Every key of a sheet that takes one of a few words.</summary>
public static class SheetChoices
{
    public static ChoiceKey<SheetQuantity> Holds { get; } = new(
        "holds",
        [
            ("draw", SheetQuantity.Draw), ("allocated", SheetQuantity.Allocated), ("limit", SheetQuantity.Limit), ("volts", SheetQuantity.Volts),
            ("amperes", SheetQuantity.Amperes), ("class", SheetQuantity.PortClass), ("entity", SheetQuantity.Entity), ("measures", SheetQuantity.Measures),
        ],
        HasFallback: false);

    public static ChoiceKey<SheetUnit> Unit { get; } = new(
        "unit",
        [
            ("milliwatt", SheetUnit.Milliwatt), ("deciwatt", SheetUnit.Deciwatt), ("watt", SheetUnit.Watt), ("millivolt", SheetUnit.Millivolt),
            ("decivolt", SheetUnit.Decivolt), ("volt", SheetUnit.Volt), ("milliampere", SheetUnit.Milliampere), ("ampere", SheetUnit.Ampere),
        ],
        HasFallback: false);

    public static ChoiceKey<SheetIndex> Index { get; } = new(
        "index",
        [
            ("group-and-port", SheetIndex.GroupAndPort), ("port", SheetIndex.Port), ("if-index", SheetIndex.IfIndex), ("base-port", SheetIndex.BasePort),
            ("group", SheetIndex.Group),
        ],
        HasFallback: true);

    public static ChoiceKey<bool> Type { get; } = new("type", [("number", false), ("text", true)], HasFallback: true);

    public static ChoiceKey<ClassCoding> Coding { get; } = new(
        "class-coding", [("class-plus-one", ClassCoding.ClassPlusOne), ("class-itself", ClassCoding.ClassItself)], HasFallback: true);

    public static ChoiceKey<string> DrawIs { get; } = new("draw-is", [("allocated", "allocated")], HasFallback: false);
}
