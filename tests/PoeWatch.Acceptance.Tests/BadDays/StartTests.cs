using System.Net;
using System.Net.Sockets;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.BadDays;

/// <summary>What keeps the service from starting is said with the place, the value and the remedy, and the exit code tells the kind.</summary>
public sealed class StartTests : IDisposable
{
    private const int BadInput = 2;
    private const int NotUsable = 3;

    private readonly WorkFolder _folder = new();

    public StartTests()
    {
        // Nobody listens there: these tests are about the start, not about polling.
        _folder.Write("design.yaml", FerryRamp.Design(FreePort.Udp()));
        _folder.Write("settings.json", FerryRamp.Settings);
    }

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_TCP_port_in_use_is_named_with_the_way_out()
    {
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        var port = FormattableString.Invariant($"{((IPEndPoint)other.LocalEndpoint).Port}");

        var (code, output) = await ServeAsync("--port", port);

        Assert.True(code == NotUsable, output);
        Assert.Contains($"TCP port {port} on 127.0.0.1", output, StringComparison.Ordinal);
        Assert.Contains("--port", output, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_in_place_of_the_data_folder_is_named()
    {
        var file = _folder.Write("data", "a file");

        var (code, output) = await ServeAsync("--data", file);

        Assert.True(code == NotUsable, output);
        Assert.Contains($"The data folder '{file}' cannot be written", output, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_data_folder_where_nobody_may_write_is_named()
    {
        // Below /proc not even root can make a folder; elsewhere a folder without the right to write does for a normal user.
        var folder = OperatingSystem.IsLinux() ? "/proc/poewatch" : Path.Combine(ReadOnlyFolder(), "data");

        var (code, output) = await ServeAsync("--data", folder);

        Assert.True(code == NotUsable, output);
        Assert.Contains($"The data folder '{folder}' cannot be written", output, StringComparison.Ordinal);
        Assert.Contains("choose another folder", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_unknown_setting_in_the_file_is_named()
    {
        _folder.Write("settings.json", """{ "polling": { "timeuot": "00:00:01" } }""");

        var (code, output) = await ServeAsync();

        Assert.True(code == BadInput, output);
        Assert.Contains("timeuot", output, StringComparison.Ordinal);
        Assert.Contains("settings.json", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_unknown_environment_variable_is_named()
    {
        await using var program = Service.Start(
            ["serve", "--design", _folder.At("design.yaml"), "--port", "0"], new Dictionary<string, string?> { ["POEWATCH_stroe__postgres"] = "Host=nowhere" });

        Assert.True(await program.ExitAsync() == BadInput, program.Output);
        Assert.Contains("stroe", program.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_settings_file_that_is_no_JSON_is_named()
    {
        _folder.Write("settings.json", "{ \"polling\": ");

        var (code, output) = await ServeAsync();

        Assert.True(code == BadInput, output);
        Assert.Contains("is not valid JSON", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_design_file_that_is_not_there_is_named()
    {
        var (code, output) = await Service.RunAsync("serve", "--design", _folder.At("desing.yaml"), "--data", _folder.At("store"), "--port", "0");

        Assert.True(code == BadInput, output);
        Assert.Contains("desing.yaml", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_address_that_others_reach_is_refused_without_a_key()
    {
        var port = FreePort.Tcp();
        _folder.Write("settings.json", $$"""{ "listen": { "address": "0.0.0.0", "port": {{port}}, "behindTlsProxy": true } }""");

        var (code, output) = await ServeAsync();

        Assert.True(code == BadInput, output);
        Assert.Contains("listen.address", output, StringComparison.Ordinal);
        Assert.Contains("a key is needed", output, StringComparison.Ordinal);
        using var client = new TcpClient();
        await Assert.ThrowsAsync<SocketException>(() => client.ConnectAsync(IPAddress.Loopback, port, TestContext.Current.CancellationToken).AsTask());
    }

    [Fact]
    public async Task An_address_that_others_reach_is_refused_where_the_key_would_cross_in_the_clear()
    {
        var hash = await DrawKeyAsync();
        _folder.Write("settings.json", $$"""{ "listen": { "address": "0.0.0.0", "port": {{FreePort.Tcp()}}, "keys": [{{hash.Setting}}] } }""");

        var (code, output) = await ServeAsync();

        Assert.True(code == BadInput, output);
        Assert.Contains("in the clear", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task With_a_key_and_a_stated_proxy_it_serves_the_holder_of_the_key_alone()
    {
        var (key, setting) = await DrawKeyAsync();
        _folder.Write("settings.json", $$"""{ "listen": { "address": "0.0.0.0", "behindTlsProxy": true, "keys": [{{setting}}] } }""");
        await using var program = Service.Start(Arguments("--port", "0"));
        var line = await program.LineAsync("Open http");
        using var client = new HttpClient { BaseAddress = new Uri($"http://127.0.0.1:{new Uri(line[line.IndexOf("http", StringComparison.Ordinal)..]).Port}") };

        using var stranger = await client.GetAsync("/api/v1/site", TestContext.Current.CancellationToken);
        client.DefaultRequestHeaders.Authorization = new("Bearer", key);
        using var holder = await client.GetAsync("/api/v1/site", TestContext.Current.CancellationToken);
        using var nothing = new StringContent("{}", System.Text.Encoding.UTF8, "application/json");
        using var actsBeyond = await client.PostAsync("/api/v1/design/reload", nothing, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.Unauthorized, stranger.StatusCode);
        Assert.Equal(HttpStatusCode.OK, holder.StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, actsBeyond.StatusCode);
        Assert.DoesNotContain(key, program.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_second_service_on_the_same_data_folder_is_refused_and_the_first_goes_on()
    {
        await using var first = await FerryRamp.ServeAsync(_folder);

        var (code, output) = await ServeAsync("--data", _folder.At("data"), "--port", "0");

        Assert.True(code == NotUsable, output);
        Assert.Contains("Another PoeWatch service uses the data folder", output, StringComparison.Ordinal);
        Assert.Equal("Skerry Haven", (await first.Rest.GetAsync("/api/v1/site")).GetProperty("name").GetString());
    }

    private static async Task<(string Key, string Setting)> DrawKeyAsync()
    {
        var (code, output) = await Service.RunAsync("key", "noc", "--role", "reader");
        Assert.True(code == 0, "The key command failed.");
        var lines = output.Split(Environment.NewLine);
        return (lines.Single(l => l.StartsWith("Key, shown once: ", StringComparison.Ordinal))["Key, shown once: ".Length..], lines.Single(l => l.StartsWith('{')));
    }

    private string ReadOnlyFolder()
    {
        var folder = Directory.CreateDirectory(_folder.At("locked")).FullName;
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(folder, UnixFileMode.UserRead | UnixFileMode.UserExecute);
        }

        return folder;
    }

    private Task<(int ExitCode, string Output)> ServeAsync(params string[] more) => Service.RunAsync(Arguments(more));

    private string[] Arguments(params string[] more)
    {
        string[] usual = ["serve", "--design", _folder.At("design.yaml"), "--settings", _folder.At("settings.json")];
        string[] data = more.Contains("--data") ? [] : ["--data", _folder.At("store")];
        return [.. usual, .. data, .. more];
    }
}
