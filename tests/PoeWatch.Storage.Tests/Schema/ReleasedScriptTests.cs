using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Storage.Tests.Schema;

/// <summary>A script that ran somewhere is never edited: the databases out there would not hear of it. A change is a new number in both folders.</summary>
public sealed class ReleasedScriptTests
{
    private static readonly Dictionary<string, string> Released = new()
    {
        ["sqlite/0001-history.sql"] = "2fc01499d8572af65ed4083168271ebd71463356d956486f026365796e743952",
        ["postgresql/0001-history.sql"] = "759a5c37bfc131d93fb1ff813ac0f19c21c0a936c6414063ee4ae9862e2aac1e",
        ["sqlite/0002-conditions.sql"] = "880b0fd4d678b1f232dd41746927553025d77154ebecb178a9711a672ac6260e",
        ["postgresql/0002-conditions.sql"] = "a37ef9caa113e042b51d02caee96e9887a39af0df5702cd341a2aa95f67530ce",
        ["sqlite/0004-rollups.sql"] = "8c659ee3f15687d17b311d44748f6870547fb3a5dc95feb06c1a4bdcd1a6232f",
        ["postgresql/0004-rollups.sql"] = "67c1feddf3dc72efa21bddfb0e9844bcb94204aa852e8bda10a2a53990bdaf7a",
        ["sqlite/0005-seals.sql"] = "db496dec060b33e96886daa53faf54aebbed1d0512635fa4e86d3c93f2b9de44",
        ["postgresql/0005-seals.sql"] = "f2aaa926f500121a626f68f0cfca4cfa52f62c9514aaca58062a70f8f500df33",
        ["sqlite/0006-agent-changes.sql"] = "2783e4e434a115d2f1db9bfc5f1fc1c3216eae838199a668ceffd050663d8f12",
        ["postgresql/0006-agent-changes.sql"] = "29f8c2d40e593e898814647c19a42b23c98855cd1d09abd16752edd4da02fb25",
        ["sqlite/0008-alarm-life.sql"] = "75b4c76c2794175f13e0bd8f503fab8b44d7b4e9d92da60016fcba43263cff05",
        ["postgresql/0008-alarm-life.sql"] = "7d146ae186379c978bd18e7bd93963af7e23f6acb602dfb902e22f3b025b3f29",
        ["sqlite/0003-blocks.sql"] = "224fe17ce40ff6fbb838fe3c1a408200d88ddb7db6edf1da0cebffe873d6fe78",
        ["postgresql/0003-blocks.sql"] = "cf903365af72440605fe1e0fda0ae13f119ad7e756fe564813bdfd3d1116dc44",
        ["sqlite/0007-notices.sql"] = "30a75a2d05d749bfe2b389b8c09c462868d292e14c2f2b1405d142b200f3582f",
        ["postgresql/0007-notices.sql"] = "b19090ff2d4a090b3b8ea0aed4ee3f3ffd1dcade9991b5050c41e1714d649ea1",
    };

    [Fact]
    public void No_released_script_was_edited_and_each_script_is_listed_here() =>
        Assert.Equal(Released.OrderBy(r => r.Key, StringComparer.Ordinal), AllScripts().OrderBy(r => r.Key, StringComparer.Ordinal));

    [Fact]
    public void Both_stores_have_the_same_numbers_and_names() =>
        Assert.Equal(Names(typeof(SqliteStore).Assembly), Names(typeof(PostgresStore).Assembly));

    private static Dictionary<string, string> AllScripts() => Hashes("sqlite", typeof(SqliteStore).Assembly)
        .Concat(Hashes("postgresql", typeof(PostgresStore).Assembly))
        .ToDictionary();

    private static IEnumerable<KeyValuePair<string, string>> Hashes(string folder, Assembly assembly) => Names(assembly).Select(name =>
    {
        using var reader = new StreamReader(assembly.GetManifestResourceStream(name)!);
        var text = reader.ReadToEnd().ReplaceLineEndings("\n");
        return KeyValuePair.Create($"{folder}/{name}", Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text))));
    });

    private static IEnumerable<string> Names(Assembly assembly) =>
        assembly.GetManifestResourceNames().Where(n => n.EndsWith(".sql", StringComparison.Ordinal)).Order(StringComparer.Ordinal);
}
