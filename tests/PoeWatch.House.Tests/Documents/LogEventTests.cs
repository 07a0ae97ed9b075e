using System.Globalization;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>An event id names one kind of event for good: operators filter by it.</summary>
public sealed class LogEventTests
{
    /// <summary>Where a message is written, and the thousands that its ids are taken from.</summary>
    private static readonly (string Path, int[] Blocks)[] Areas =
    [
        ("src/PoeWatch.Snmp/", [1000]),
        ("src/PoeWatch.Monitoring/Polling/", [1000]),
        ("src/PoeWatch.Monitoring/Notifications/", [1000]),
        ("src/PoeWatch.Monitoring/Ingestion/", [2000]),
        ("src/PoeWatch.Monitoring/Storage/", [2000]),
        ("src/PoeWatch.Monitoring/Sealing/", [2000]),
        ("src/PoeWatch.Monitoring/Rollups/", [2000]),
        ("src/PoeWatch.Storage.Sqlite/", [2000]),
        ("src/PoeWatch.Storage.Postgres/", [2000]),
        ("src/PoeWatch.Monitoring/Alarming/", [3000]),
        ("src/PoeWatch.Monitoring/Notices/", [3000]),
        ("src/PoeWatch.Monitoring/Balance/", [3000]),
        ("src/PoeWatch.Monitoring/Service/", [3000, 5000, 6000]),
        ("src/PoeWatch.Monitoring/Conditions/", [5000]),
        ("src/PoeWatch.Api/", [4000]),
        ("src/PoeWatch.DesignFiles/", [5000]),
        ("src/PoeWatch.Simulator/", [6000]),
        ("src/PoeWatch.Server/", [6000]),
    ];

    private static List<(int Id, string At, string Path)> Events =>
    [
        .. from file in Repository.Sources("src")
           from attribute in file.Tree.DescendantNodes().OfType<AttributeSyntax>()
           where attribute.Name.ToString() == "LoggerMessage"
           select (IdOf(attribute), file.At(attribute), file.Path),
    ];

    [Fact]
    public void Every_log_message_has_an_id_of_its_own() => Rule.HoldsFor(
        from same in Events.GroupBy(logged => logged.Id)
        where same.Key == 0 || same.Count() > 1
        from logged in same
        select $"{logged.At} id {logged.Id}",
        "Take the next free id of the block; never use one again.");

    [Fact]
    public void Ids_of_log_messages_lie_in_the_block_of_their_area() => Rule.HoldsFor(
        from logged in Events
        let blocks = Areas.Where(area => logged.Path.StartsWith(area.Path, StringComparison.Ordinal)).SelectMany(area => area.Blocks)
        where !blocks.Contains(logged.Id / 1000 * 1000)
        select $"{logged.At} id {logged.Id}, its block is {string.Join(" or ", blocks)}",
        "1000 polling, 2000 storage, 3000 alarms, 4000 API, 5000 design, 6000 server and simulator.");

    private static int IdOf(AttributeSyntax attribute)
    {
        SeparatedArguments arguments = new([.. attribute.ArgumentList?.Arguments ?? []]);
        var text = (arguments.Named("EventId") ?? arguments.First)?.Expression.ToString();
        return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var id) ? id : 0;
    }

    private readonly record struct SeparatedArguments(AttributeArgumentSyntax[] All)
    {
        public AttributeArgumentSyntax? First => All.FirstOrDefault(argument => argument.NameEquals is null);

        public AttributeArgumentSyntax? Named(string name) => All.FirstOrDefault(argument => argument.NameEquals?.Name.Identifier.Text == name);
    }
}
