using System.Reflection;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// Constants that other assemblies compile in, tests too: a test that names one would compare a value with itself. They are read from the compiled room and held
/// against figures of the sources that they give.
/// </summary>
public sealed class CompiledInConstantTests
{
    [Theory]
    [InlineData(typeof(CableHeat), "LargestRise", 15.0)] // TSB-184-A, as reported by the trade press
    [InlineData(typeof(CableHeat), "LargestBundle", 24)] // TSB-184-A, as reported by the trade press
    [InlineData(typeof(CableHeat), "PublishedBundle", 100)] // Vaden, contribution to IEEE 802.3bt on cable heating
    [InlineData(typeof(CableHeat), "FitMargin", 1.0)] // ours: the fit lies up to 0.65 degrees below single measurements of Vaden
    [InlineData(typeof(CableResistance), "PerDegree", 0.00393)] // annealed copper, NBS Handbook 100, from memory
    [InlineData(typeof(CableResistance), "CopperCladFactor", 1.60)] // cable vendors' notes: 55 to 60 % more
    [InlineData(typeof(LldpPower), "MostRawTypes1And2", 255)] // 25.5 W in 802.3at, from memory
    [InlineData(typeof(LldpPower), "MostRawSingleSignature", 999)] // 99.9 W in 802.3bt, from memory
    [InlineData(typeof(LldpPower), "MostRawDualSignature", 499)] // 49.9 W a mode in 802.3bt, from memory
    [InlineData(typeof(FlowSweep), "Tolerance", 1e-12)] // ours, as docs/power-flow.md says
    [InlineData(typeof(FlowSweep), "MostSweeps", 100)] // ours, as docs/power-flow.md says
    [InlineData(typeof(FlowSearch), "ResolutionWatts", 1e-6)] // ours, as docs/power-flow.md says: a microwatt
    public void Constant_has_the_value_of_its_source(Type owner, string name, object expected) =>
        Assert.Equal(expected, owner.GetField(name, BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic)!.GetRawConstantValue());

    [Fact]
    public void Every_constant_that_others_compile_in_stands_above()
    {
        var asked = typeof(CompiledInConstantTests).GetMethod(nameof(Constant_has_the_value_of_its_source))!
            .GetCustomAttributes<InlineDataAttribute>().Select(row => $"{((Type)row.Data[0]!).Name}.{row.Data[1]}");
        var there = typeof(CableHeat).Assembly.GetTypes()
            .Where(type => type.Namespace is "PoeWatch.Domain.Poe" or "PoeWatch.Domain.PowerFlow" && !type.IsEnum)
            .SelectMany(type => type.GetFields(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly))
            .Where(field => field.IsLiteral && !field.IsPrivate && (field.FieldType == typeof(double) || field.FieldType == typeof(int)))
            .Select(field => $"{field.DeclaringType!.Name}.{field.Name}");

        Assert.Equal(there.Order(StringComparer.Ordinal), asked.Order(StringComparer.Ordinal));
    }
}
