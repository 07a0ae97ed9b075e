using PoeWatch.Monitoring.Ingestion.Spool;

namespace PoeWatch.Monitoring.Tests.Ingestion.Spool;

public sealed class SpoolFolderTests : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("poewatch-spool-");

    [Fact]
    public void Files_are_appended_cut_listed_and_deleted()
    {
        using var folder = new SpoolFolder(Path.Combine(_folder.FullName, "spool"));
        Assert.Empty(folder.Open());
        folder.Append("2.spool", [1, 2, 3]);
        folder.Append("1.spool", [9]);
        folder.Append("2.spool", [4]);

        Assert.Equal(["1.spool", "2.spool"], folder.Open());
        Assert.Equal([1, 2, 3, 4], folder.Read("2.spool"));
        folder.Cut("2.spool", 2);
        Assert.Equal([1, 2], folder.Read("2.spool"));
        folder.Delete("1.spool");
        Assert.Equal(["2.spool"], folder.Open());
    }

    [Fact]
    public void A_second_service_does_not_get_the_folder()
    {
        using var first = new SpoolFolder(_folder.FullName);
        first.Open();
        using var second = new SpoolFolder(_folder.FullName);

        Assert.Throws<IOException>(() => second.Open());
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
