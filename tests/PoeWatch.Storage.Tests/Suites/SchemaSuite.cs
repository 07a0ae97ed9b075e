using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>How every store brings its schema up to date. Each adapter inherits it.</summary>
public abstract class SchemaSuite : StoreSuite
{
    [Fact]
    public async Task Preparing_again_runs_no_script_twice()
    {
        await using (await Harness.OpenAsync())
        {
        }

        var scripts = await Harness.CountAsync("schema_scripts");
        await using (await Harness.OpenAsync())
        {
        }

        Assert.Equal(typeof(SqliteStore).Assembly.GetManifestResourceNames().Count(name => name.EndsWith(".sql", StringComparison.Ordinal)), scripts);
        Assert.Equal(scripts, await Harness.CountAsync("schema_scripts"));
    }

    [Fact]
    public async Task A_database_of_newer_software_is_refused_and_the_unknown_script_named()
    {
        await using (await Harness.OpenAsync())
        {
        }

        await Harness.ExecuteAsync("UPDATE schema_scripts SET scriptname = '0999-later.sql'");
        await using var store = Harness.NewStore();

        var error = await Assert.ThrowsAsync<StoreException>(() => store.History.PrepareAsync(Token));

        Assert.Contains("0999-later.sql", error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
    }

    [Fact]
    public async Task A_script_that_fails_leaves_nothing_behind_and_is_named()
    {
        // The last table of the script is there already, with other columns.
        await Harness.ExecuteAsync("CREATE TABLE design_version (something INTEGER)");
        await using var store = Harness.NewStore();

        await Assert.ThrowsAsync<StoreException>(() => store.History.PrepareAsync(Token));
        await Harness.ExecuteAsync("DROP TABLE design_version");

        await store.History.PrepareAsync(Token);
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
    }

    [Fact]
    public async Task A_table_changed_by_hand_gives_a_remedy_and_no_retry()
    {
        await using var store = await Harness.OpenAsync();
        await Harness.ExecuteAsync("ALTER TABLE poll RENAME COLUMN payload TO packed");

        var error = await Assert.ThrowsAsync<StoreException>(
            () => store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token));

        Assert.Contains("by hand", error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
    }
}
