using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace DriftWatch.SamplePlant;

/// <summary>The folder of sample streams: register, truth, and one logger file a vessel.</summary>
public static class SampleStreams
{
    private static readonly JsonSerializerOptions Layout = new()
    {
        WriteIndented = true,
        NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Writes everything into <paramref name="folder"/>, over what stands there.</summary>
    /// <param name="folder">Made if missing.</param>
    /// <param name="written">Told of each file and its size in bytes.</param>
    public static void Write(string folder, Action<string, long> written)
    {
        Directory.CreateDirectory(folder);
        foreach ((string name, string text) in new[] { ("register.json", RegisterText()), ("truth.json", TruthText()) })
        {
            string path = Path.Combine(folder, name);
            File.WriteAllText(path, text, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
            written(path, new FileInfo(path).Length);
        }

        foreach (VesselScript script in Plant.Vessels)
        {
            string path = Path.Combine(folder, script.Id + ".csv.gz");
            LoggerFile.WriteCompressed(path, LoggerFile.Text(script, Plant.Seed));
            written(path, new FileInfo(path).Length);
        }
    }

    public static string RegisterText()
    {
        return Text(RegisterFile.Json(Plant.Name, Plant.Vessels));
    }

    public static string TruthText()
    {
        return Text(TruthFile.Json(Plant.Vessels, Plant.Seed));
    }

    private static string Text(JsonObject json)
    {
        return json.ToJsonString(Layout) + "\n";
    }
}
