using System.Globalization;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>An interface whose name has front panel numbers.</summary>
/// <param name="Series">The name without its last number: <c>Gi1/0/</c>.</param>
internal sealed record NumberedInterface(InterfaceFacts Interface, string Series, int Group, int Port);

/// <summary>Numbers in names of interfaces. How makers number is common practice, no source. Pure.</summary>
internal static class FrontPanel
{
    /// <summary>The interfaces that carry numbers. A series that counts from 0 is moved by one in group and port: PSE ports count from 1.</summary>
    public static IEnumerable<NumberedInterface> Numbered(IEnumerable<InterfaceFacts> interfaces)
    {
        var all = interfaces.Where(i => i.CouldBePort).Select(i => (Facts: i, Numbers: Numbers(i.Name))).Where(i => i.Numbers is not null).ToList();
        foreach (var series in all.GroupBy(i => Series(i.Facts.Name)))
        {
            var first = series.Any(i => i.Numbers!.Value.Port == 0) ? 1 : 0;
            foreach (var (facts, numbers) in series)
            {
                var group = first == 1 ? numbers!.Value.Group + 1 : Math.Max(numbers!.Value.Group, 1);
                yield return new NumberedInterface(facts, series.Key, group, numbers.Value.Port + first);
            }
        }
    }

    /// <summary>
    /// Group and port in an interface name: <c>Gi1/0/7</c> and <c>2/7</c> start with the group, <c>port7</c> and <c>eth7</c> have none, which is 0. Null
    /// where the name has no such numbers, or more parts than these.
    /// </summary>
    internal static (int Group, int Port)? Numbers(string name)
    {
        var start = name.AsSpan().IndexOfAnyInRange('0', '9');
        if (start < 0)
        {
            return null;
        }

        var parts = new List<int>();
        foreach (Range range in name.AsSpan(start).Split('/'))
        {
            if (!int.TryParse(name.AsSpan(start)[range], NumberStyles.None, CultureInfo.InvariantCulture, out var number))
            {
                return null;
            }

            parts.Add(number);
        }

        return parts.Count switch
        {
            1 => (0, parts[0]),
            2 => (parts[0], parts[1]),
            3 => (parts[0], parts[2]),
            _ => null,
        };
    }

    private static string Series(string name) => name.TrimEnd("0123456789".ToCharArray());
}
