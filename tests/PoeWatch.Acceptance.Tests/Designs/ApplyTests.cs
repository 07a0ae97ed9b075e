using System.Net;
using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Designs;

/// <summary>A changed design is taken by the running service whole or not at all, and no poll is missed for it.</summary>
[Collection(nameof(Timed))]
public sealed class ApplyTests
{
    [Fact]
    public async Task A_changed_design_is_taken_by_command_and_by_API_without_a_missed_poll_and_a_faulty_one_leaves_the_old()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(22_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0], period: "2s"));
        folder.Write("settings.json", FerryRamp.Settings);
        await using var service = await FerryRamp.ServeAsync(folder);

        // From here on: how busy the machine was while the service started says nothing of a changed design.
        var before = await SeeReadingAfterAsync(service, await SeeReadingAfterAsync(service, DateTimeOffset.MinValue));
        var newest = before;

        var changed = folder.Write("changed.yaml", FerryRamp.Design(agent.Ports[0], "Ferry ramp north", "2s"));
        var (code, output) = await Service.RunAsync("apply", changed, "--url", service.Address.ToString());
        Assert.True(code == 0, output);
        Assert.Equal("Ferry ramp north", await PoleNameAsync(service));
        newest = await SeeReadingAfterAsync(service, newest);

        var (status, body) = await service.Rest.SendAsync(
            HttpMethod.Post, "/api/v1/design", FerryRamp.Design(agent.Ports[0], "Ferry ramp south", "2s"), "application/yaml");
        Assert.True(status == HttpStatusCode.OK, body);
        Assert.Equal("Ferry ramp south", await PoleNameAsync(service));
        newest = await SeeReadingAfterAsync(service, newest);
        await AssertRefusedAsync(service, folder);
        Assert.Equal("Ferry ramp south", await PoleNameAsync(service));

        newest = await SeeReadingAfterAsync(service, await SeeReadingAfterAsync(service, newest));
        await service.SeePortAsync("the last reading kept", "quay", 1, 1, p => Rest.Time(p, "at") >= newest && p.GetProperty("kept").GetBoolean());
        var readings = (await ExportFile.ReadAsync(service.Rest, before, TimeProvider.System.GetUtcNow())).Readings(FerryRamp.Port);
        Assert.InRange(readings.Count, 5, int.MaxValue);
        Assert.True(readings.LongestPause() < TimeSpan.FromSeconds(3.9), $"A poll was missed: {string.Join(", ", readings.Select(r => $"{r.At:O}"))}. {service.Output}");
        Assert.Equal(3, (await service.Rest.ItemsAsync("/api/v1/design/versions")).Count);
    }

    private static async Task AssertRefusedAsync(Service service, WorkFolder folder)
    {
        var (status, body) = await service.Rest.SendAsync(HttpMethod.Post, "/api/v1/design", TwelveFaults.Text, "application/yaml");
        Assert.Equal(HttpStatusCode.UnprocessableEntity, status);
        Assert.Equal(
            TwelveFaults.Marks,
            Rest.Read(body).GetProperty("problems").EnumerateArray().Select(p => (p.GetProperty("line").GetInt32(), p.GetProperty("code").GetString()!)));

        var (code, output) = await Service.RunAsync("apply", folder.Write("slipway.yaml", TwelveFaults.Text), "--url", service.Address.ToString());
        Assert.True(code == 2, output);
        Assert.Equal(TwelveFaults.Marks, DesignTests.Named(output));
    }

    private static async Task<DateTimeOffset> SeeReadingAfterAsync(Service service, DateTimeOffset after)
    {
        var port = await service.SeePortAsync(
            "the next reading", "quay", 1, 1,
            p => p.GetProperty("at").ValueKind == JsonValueKind.String && Rest.Time(p, "at") > after);
        return Rest.Time(port, "at");
    }

    private static async Task<string?> PoleNameAsync(Service service) =>
        Assert.Single(await service.Rest.ItemsAsync("/api/v1/poles")).GetProperty("name").GetString();
}
