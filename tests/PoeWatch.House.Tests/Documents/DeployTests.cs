using System.Text.RegularExpressions;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>What the files for deployment promise, as far as their text can prove it: no container engine is at hand.</summary>
public sealed partial class DeployTests
{
    private static string Image => Repository.Read("Dockerfile");

    private static string Compose => Repository.Read("deploy/compose.yaml");

    [Fact]
    public void The_restore_layer_of_the_image_holds_every_project() => Rule.HoldsFor(
        Room.All.Where(room => !Image.Contains($"COPY {room.ProjectFile} src/{room.Project}/", StringComparison.Ordinal)).Select(room => room.ProjectFile),
        "Copy the project file before 'dotnet restore' in the Dockerfile.");

    [Fact]
    public void The_image_runs_without_privileges_and_tells_its_health()
    {
        var last = Image[Image.LastIndexOf("FROM ", StringComparison.Ordinal)..];

        Assert.Contains("\nUSER $APP_UID\n", last, StringComparison.Ordinal);
        Assert.Contains("\nHEALTHCHECK ", last, StringComparison.Ordinal);
    }

    [Fact]
    public void Compose_publishes_nothing_beyond_loopback()
    {
        List<string> published = [.. PublishedPort().Matches(Compose).Select(match => match.Groups["port"].Value)];

        Assert.Single(published);
        Assert.Equal(2, Compose.Split("ports:").Length);
        Assert.All(published, port => Assert.StartsWith("127.0.0.1:", port, StringComparison.Ordinal));
        Assert.DoesNotContain("network_mode", Compose, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_service_of_compose_is_checked_and_cannot_write_to_its_image()
    {
        var services = Service().Count(Compose[..Compose.IndexOf("\nnetworks:", StringComparison.Ordinal)]);

        Assert.Equal(2, services);
        Assert.Equal(services, Compose.Split("healthcheck:").Length - 1);
        Assert.Equal(services, Compose.Split("read_only: true").Length - 1);
        Assert.Equal(services, Compose.Split("no-new-privileges:true").Length - 1);
    }

    [Fact]
    public void No_password_stands_in_a_file_for_deployment() => Rule.HoldsFor(
        from path in Repository.AllFiles.Where(path => path.StartsWith("deploy/", StringComparison.Ordinal) || path is "Dockerfile")
        from secret in WrittenSecret().Matches(Repository.Read(path))
        select $"{path}: {secret.Value}",
        "Name a file instead: POSTGRES_PASSWORD_FILE, communityFile, LoadCredential.");

    [GeneratedRegex("""^ +- "(?<port>[^"]*:\d+)"$""", RegexOptions.Multiline)]
    private static partial Regex PublishedPort();

    [GeneratedRegex("^  [a-z]+:$", RegexOptions.Multiline)]
    private static partial Regex Service();

    [GeneratedRegex("""(password|community|passphrase)["']?[ ]*[:=][ ]*["']?[^\s"'`/{$*.]+""", RegexOptions.IgnoreCase)]
    private static partial Regex WrittenSecret();
}
