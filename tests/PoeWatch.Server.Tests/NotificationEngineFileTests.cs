using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Server.Tests;

public sealed class NotificationEngineFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-engine-").FullName;

    private string FilePath => Path.Combine(_folder, "notification-engine");

    [Fact]
    public void The_engine_id_stays_and_each_start_is_counted()
    {
        EngineIdentity[] starts = [.. Enumerable.Range(0, 3).Select(_ => NotificationEngineFile.Start(_folder))];

        Assert.Equal([1, 2, 3], starts.Select(s => s.Boots));
        Assert.Equal(starts[0].Id, starts[2].Id);

        // RFC 3411 SnmpEngineID: 5 to 32 octets, the first bit set; the fifth octet 5 says octets of one's own choice.
        Assert.Equal((17, true, 5), (starts[0].Id.Count, (starts[0].Id[0] & 0x80) != 0, (int)starts[0].Id[4]));
    }

    [Fact]
    public void Two_services_draw_two_engine_ids() =>
        Assert.NotEqual(NotificationEngineFile.Start(_folder).Id, NotificationEngineFile.Start(Path.Combine(_folder, "other")).Id);

    [Theory]
    [InlineData("")]
    [InlineData("8000000005AABB")]
    [InlineData("8000000005AABB\nmany")]
    [InlineData("80AA\n1")]
    [InlineData("harbour\n1")]
    [InlineData("8000000005AABB\n2147483647")]
    public void A_file_that_cannot_be_used_is_named_with_the_remedy(string text)
    {
        File.WriteAllText(FilePath, text);

        var refused = Assert.Throws<SettingsException>(() => NotificationEngineFile.Start(_folder));

        Assert.Contains(FilePath, refused.Message, StringComparison.Ordinal);
        Assert.Contains("Delete it", refused.Message, StringComparison.Ordinal);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);
}
