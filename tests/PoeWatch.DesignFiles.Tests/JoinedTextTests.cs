namespace PoeWatch.DesignFiles.Tests;

public class JoinedTextTests
{
    private static string Folder => Path.Combine(Examples.ConfigFolder, "examples", "csv-lists");

    [Fact]
    public void A_design_with_lists_can_be_sent_as_one_text_and_is_the_same_design()
    {
        LoadedDesign fromFiles = DesignFile.Load(Path.Combine(Folder, "design.yaml"));

        LoadedDesign sent = DesignFile.ParseJoined(fromFiles.JoinedText, "sent");

        Assert.NotNull(sent.Result.Model);
        Assert.Equal(fromFiles.Hash, sent.Hash);
        Assert.Equal(fromFiles.Result.Model!.Devices.Count, sent.Result.Model.Devices.Count);
    }

    [Fact]
    public void A_sent_design_cannot_name_files_of_the_machine()
    {
        LoadedDesign sent = DesignFile.ParseJoined(File.ReadAllText(Path.Combine(Folder, "design.yaml")), Path.Combine(Folder, "design.yaml"));

        Assert.Null(sent.Result.Model);
        Assert.Contains(sent.Result.Problems, p => p.Code == "unreadable-file" && p.Message.Contains("does not hold", StringComparison.Ordinal));
    }

    [Fact]
    public void A_cut_off_text_is_refused_whole()
    {
        string joined = DesignFile.Load(Path.Combine(Folder, "design.yaml")).JoinedText;

        Assert.Null(DesignFile.ParseJoined(joined[..^5], "sent").Result.Model);
    }
}
